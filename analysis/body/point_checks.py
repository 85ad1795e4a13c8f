"""Placed points that can't be right: off the picture, limbs that change their length, legs that jump."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import numpy as np
import numpy.typing as npt

from analysis.body.slips import ARM_POINTS
from analysis.ground.point_rows import PointRows, on_both
from analysis.values.film import FrameNumber
from analysis.values.point_names import point_words
from analysis.values.posture import PointDoubt
from analysis.values.run import MIDDLE_ENDS, BodyPoint, Side, limbs_among
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

GROWS = 0.4
"""A limb that changes its length by this share between two placed frames is named (own assumption: an arm
that swings across the picture changes by less)."""
NEAR_S = 0.12
"""Frames with points farther apart than this say nothing of each other, s (own assumption: half a step), but
for what stays in the plane of the picture and is as long on any frame: all but the arms."""
SWAPPED = 2.5
"""Left and right are named as changed over on a frame where the legs then fit the frames on either side so
many times better (own assumption)."""
_LEG = ("knee", "ankle", "toe")


def off_picture(points: Iterable[BodyPoint], width: int, height: int) -> list[PointDoubt]:
    """Points beyond the picture's edge."""
    words = tr("The {name} on frame {frame} lies off the picture and is left out. Move it or take it away.")
    return [
        PointDoubt(p.frame, p.name, words.format(name=point_words(p.name), frame=p.frame))
        for p in points
        if not (-1 <= p.u <= width and -1 <= p.v <= height) and math.isfinite(p.u + p.v)
    ]


def length_doubts(rows: Mapping[str, PointRows], seconds: Floats) -> list[PointDoubt]:
    """Limbs whose length changes beyond belief from one placed frame to the next. ``seconds``: of frames."""
    return [d for one, other in limbs_among(rows) for d in _lengths_of(one, other, rows, seconds)]


def _lengths_of(one: str, other: str, rows: Mapping[str, PointRows], seconds: Floats) -> list[PointDoubt]:
    frames, first, second = on_both(rows[one], rows[other])
    span = _length(rows[other].uv[second] - rows[one].uv[first])
    u = np.hypot(rows[one].error_px[first], rows[other].error_px[second])
    tall = np.log(np.maximum(span, 1.0))
    odd = np.abs(tall[1:] - tall[:-1]) > math.log1p(GROWS)
    odd &= np.abs(span[1:] - span[:-1]) > 4.0 * np.hypot(u[1:], u[:-1])
    if other.endswith(ARM_POINTS):
        odd &= np.diff(seconds[frames]) <= NEAR_S
    if not odd.any():
        return []
    words = tr(
        "From {one} to {other} it is {before} px on frame {first} and {after} px on frame {last}: {why}"
    )
    why = tr("one of the points is wrong, or left and right are changed over.")
    if (one, other) in MIDDLE_ENDS:
        why = tr("one of the points is wrong.")
    found = []
    for a in np.flatnonzero(odd).tolist():
        sentence = words.format(
            one=point_words(one),
            other=point_words(other),
            before=round(float(span[a])),
            after=round(float(span[a + 1])),
            first=frames[a],
            last=frames[a + 1],
            why=why,
        )
        found.append(PointDoubt(FrameNumber(int(frames[a + 1])), other, sentence))
    return found


def changed_over(rows: Mapping[str, PointRows], seconds: Floats) -> list[PointDoubt]:
    """Frames on which left and right are placed the wrong way round, as the frames on either side show."""
    there = [j for j in _LEG if all(f"{s}_{j}" in rows for s in Side)]
    if not there:
        return []
    frames, legs = _both_legs(rows, there)
    words = tr(
        "On frame {frame} the legs fit the frames before and after better with left and right changed over. "
        "Look whether the points are on the right legs."
    )
    if len(frames) < 3:
        return []
    gaps = np.diff(seconds[frames])
    share = (gaps[:-1] / (gaps[:-1] + gaps[1:]))[:, None, None]
    likely = legs[:, :-2] * (1 - share) + legs[:, 2:] * share
    here = legs[:, 1:-1]
    own = _length(here - likely).sum(axis=(0, 2))
    turned = _length(here[::-1] - likely).sum(axis=(0, 2))
    apart = _length(here[0] - here[1]).sum(axis=-1)
    near = np.maximum(gaps[:-1], gaps[1:]) <= NEAR_S
    name = f"{Side.LEFT.value}_{there[0]}"
    return [
        PointDoubt(frame, name, words.format(frame=frame))
        for frame in map(FrameNumber, frames[1:-1][near & (own > SWAPPED * turned) & (own > apart)].tolist())
    ]


def _both_legs(rows: Mapping[str, PointRows], joints: list[str]) -> tuple[npt.NDArray[np.int64], Floats]:
    """The frames that hold the joints of both legs, and their places there: (2, frames, joints, 2)."""
    names = [[f"{s}_{j}" for j in joints] for s in Side]
    frames = np.unique(rows[names[0][0]].frames)
    for name in (n for side in names for n in side):
        if not np.array_equal(frames, rows[name].frames):
            frames = np.intersect1d(frames, rows[name].frames)
    legs = [[rows[n].uv[np.searchsorted(rows[n].frames, frames)] for n in side] for side in names]
    return frames, np.moveaxis(np.array(legs, dtype=np.float64), 1, 2)


def _length(spans: Floats) -> Floats:
    """Lengths of vectors (..., 2): of two numbers in half the time of ``np.linalg.norm``."""
    out: Floats = np.hypot(spans[..., 0], spans[..., 1])
    return out
