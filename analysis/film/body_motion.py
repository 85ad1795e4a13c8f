"""What moves in front of a still background: how far its edges are smeared, how fast it goes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.film.bursts import Bursts, Grey

_MOVES = 18
"""A picture differs from the background by so many levels where something moves."""

_LEAST_SHARE = 0.0008
"""Share of the picture that a body covers at least."""

_STANDS_BELOW = 0.1
"""Heights per second; a start at eight times slower than it was has 0.2 and more from its second step on."""

_FEWEST_EDGES = 20

_EDGE = 25.0
"""A body differs from the background by so many levels where its edge is looked at."""

_SHARP = 1.5
"""Pixels over which a sharp edge rises, from making the picture smaller and from compression."""

_NARROWEST, _MARGIN = 6, 8
"""Pixels that a line of the body has at least, and that are looked at beside it."""


@dataclass(frozen=True)
class BodyMotion:
    """``heights_s``: its greatest speed in its own heights per second of capture time, where it moves at
    three places of the film or more. ``blur_px``: pixels of the shown picture over which its sides are
    smeared. None where they can't be told.
    """

    heights_s: float | None = None
    blur_px: float | None = None


def body_motion(bursts: Bursts) -> BodyMotion:
    """Look at what differs from the median of all pictures. Fit for a camera that stands still only."""
    pictures = [picture for burst in bursts.bursts for picture in burst.pictures]
    if len(bursts.bursts) < 3:
        return BodyMotion()
    background = np.median(np.stack([burst.pictures[0] for burst in bursts.bursts]), axis=0)
    boxes = [_box(picture, background) for picture in pictures]
    speeds: list[float] = []
    widths: list[float] = []
    place = 0
    for burst in bursts.bursts:
        these = boxes[place : place + len(burst.pictures)]
        place += len(burst.pictures)
        first, last = these[0], these[-1]
        span = burst.times_s[-1] - burst.times_s[0]
        if first is None or last is None or span <= 0:
            continue
        height = (first.height + last.height) / 2
        speeds.append(abs(last.middle - first.middle) / height / span)
        widths += _smear(burst.pictures[0], background, first)
    blur = None
    if len(widths) >= _FEWEST_EDGES:
        blur = max(0.0, float(np.median(widths)) - _SHARP) * bursts.scale
    # An athlete who stands still but for one place may have run at any pace between two others.
    moving = [speed for speed in speeds if speed >= _STANDS_BELOW]
    return BodyMotion(max(moving) if len(moving) >= 3 else None, blur)


@dataclass(frozen=True)
class _Box:
    top: int
    bottom: int
    left: int
    right: int
    moving: npt.NDArray[np.bool_]

    @property
    def height(self) -> float:
        return float(self.bottom - self.top)

    @property
    def middle(self) -> float:
        return float(np.flatnonzero(self.moving.any(axis=0)).mean())


def _box(picture: Grey, background: npt.NDArray[np.float64]) -> _Box | None:
    """The largest thing that differs from the background."""
    import cv2

    differs = (np.abs(picture.astype(np.float64) - background) > _MOVES).astype(np.uint8)
    joined = cv2.morphologyEx(differs, cv2.MORPH_CLOSE, np.ones((9, 5), np.uint8))
    count, labels, facts, _ = cv2.connectedComponentsWithStats(joined)
    if count < 2:
        return None
    largest = 1 + int(np.argmax(facts[1:, cv2.CC_STAT_AREA]))
    left, top, width, height, area = (int(n) for n in facts[largest])
    if area < _LEAST_SHARE * picture.size:
        return None
    return _Box(top, top + height, left, left + width, labels == largest)


def _smear(picture: Grey, background: npt.NDArray[np.float64], box: _Box) -> list[float]:
    """Pixels over which each line of the body goes from background to body, at either side."""
    away = np.abs(picture.astype(np.float64) - background)
    widths = []
    for line, moving in zip(away[box.top : box.bottom], box.moving[box.top : box.bottom], strict=True):
        places = np.flatnonzero(moving)
        if len(places) < _NARROWEST or places[0] < _MARGIN or places[-1] >= len(line) - _MARGIN:
            continue
        full = float(np.quantile(line[places], 0.75))
        if full >= _EDGE:
            span = line[places[0] - _MARGIN : places[-1] + _MARGIN + 1]
            widths += [_rise(span, full), _rise(span[::-1], full)]
    return widths


def _rise(line: npt.NDArray[np.float64], full: float) -> float:
    """Pixels from nothing to ``full``, from those between its fifth and its four fifths."""
    high = int(np.argmax(line >= 0.8 * full))
    low = high - int(np.argmax(line[high::-1] < 0.2 * full))
    return (high - low - 0.5) / 0.6
