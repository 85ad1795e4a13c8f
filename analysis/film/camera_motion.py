"""Whether the camera stood still, shook, or followed the athlete."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from analysis.film.bursts import Bursts, Grey

PANS_FROM = 0.03
"""Widths of the picture per second; a hand that holds still drifts by less."""

SHAKES_FROM = 0.0015
"""Widths of the picture by which the background moves; 2 pixels of 1280."""

_FEATURES = 200
_FEWEST = 12
_MIDDLE = 0.5  # share of the width in which the athlete is expected; looked at only where the rest is bare


class CameraMotion(StrEnum):
    """What the camera did."""

    STILL = "still"
    SHAKING = "shaking"
    PANNING = "panning"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Motion:
    """``speed``: of the background, in picture widths per second. ``shift_px``: the furthest that the
    background was from its mean place, in pixels of the shown picture; both 0 where they are unknown.
    """

    kind: CameraMotion
    speed: float = 0.0
    shift_px: float = 0.0


def camera_motion(bursts: Bursts) -> Motion:
    """Judge by how the background moves: within each burst for a pan, from burst to burst for a shake."""
    if not bursts.bursts:
        return Motion(CameraMotion.UNKNOWN)
    width = bursts.bursts[0].pictures[0].shape[1]
    speeds, places = [], []
    anchor = bursts.bursts[0].pictures[0]
    for burst in bursts.bursts:
        within = [shift(burst.pictures[0], picture) for picture in burst.pictures[1:]]
        span = burst.times_s[-1] - burst.times_s[0]
        if within and within[-1] is not None and span > 0:
            speeds.append(within[-1] / width / span)
        from_anchor = shift(anchor, burst.pictures[0])
        if from_anchor is not None:
            places.append(from_anchor)
            places += [from_anchor + step for step in within if step is not None]
    if not speeds and not places:
        return Motion(CameraMotion.UNKNOWN)
    # A pan goes one way; a hand goes to and fro.
    speed = float(np.linalg.norm(np.median(speeds, axis=0))) if speeds else 0.0
    if speed >= PANS_FROM:
        return Motion(CameraMotion.PANNING, speed)
    if len(places) < max(2, len(bursts.bursts) // 2):
        return Motion(CameraMotion.UNKNOWN, speed)
    away = np.linalg.norm(np.asarray(places) - np.median(places, axis=0), axis=1)
    furthest = float(np.quantile(away, 0.95))
    kind = CameraMotion.SHAKING if furthest >= SHAKES_FROM * width else CameraMotion.STILL
    return Motion(kind, speed, furthest * bursts.scale)


def shift(before: Grey, after: Grey) -> npt.NDArray[np.float64] | None:
    """Pixels by which the background went right and down; None where too few places are found again."""
    import cv2

    for mask in _masks(before):
        found = cv2.goodFeaturesToTrack(before, _FEATURES, 0.01, 7, mask=mask)
        places = np.asarray(found if found is not None else [], np.float32)  # type: ignore[redundant-expr]
        if len(places) < _FEWEST:
            continue
        there, ok = _followed(before, after, places)
        back, ok_back = _followed(after, before, there)
        same = ok & ok_back & (np.linalg.norm((back - places).reshape(-1, 2), axis=1) < 0.5)
        if same.sum() < _FEWEST:
            continue
        steps = (there - places).reshape(-1, 2)[same].astype(np.float64)
        middle = np.median(steps, axis=0)
        near = np.linalg.norm(steps - middle, axis=1) < 1.5
        if near.sum() >= max(_FEWEST, same.sum() // 2):
            mean: npt.NDArray[np.float64] = steps[near].mean(axis=0)
            return mean
    return None


def _followed(
    before: Grey, after: Grey, places: npt.NDArray[np.float32]
) -> tuple[npt.NDArray[np.float32], npt.NDArray[np.bool_]]:
    import cv2

    there, ok, _ = cv2.calcOpticalFlowPyrLK(before, after, places, np.empty_like(places))
    return np.asarray(there, np.float32), np.asarray(ok).ravel().astype(np.bool_)


def _masks(picture: Grey) -> Iterator[Grey | None]:
    """Off the centre first, then everywhere."""
    mask = np.full_like(picture, 255)
    height, width = picture.shape
    side = round(width * (1 - _MIDDLE) / 2)
    mask[height // 4 : height * 3 // 4, side : width - side] = 0
    yield mask
    yield None
