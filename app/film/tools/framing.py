"""The part of the picture that holds the athlete, shown large while points of the body are placed."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from statistics import fmean

import numpy as np
import numpy.typing as npt

from analysis.report.body import Place, spots_on
from analysis.values.run import Run
from analysis.values.tracks import Tracks
from app.film.mapping import LARGEST, ViewMapping

Floats = npt.NDArray[np.float64]

USUAL_M = 1.7
"""A body that leans into its run stands about so high (own assumption)."""
SHARE = 0.62
"""The body takes so much of the view's height; the rest is for a foot that swings out and for the prompt."""
LEAST_GAIN = 1.2
"""Where the body is no larger than by this, the whole picture stays on show."""
_HEIGHT_SHARES = {
    "head": 0.95, "neck": 0.84, "shoulder": 0.80, "elbow": 0.62, "wrist": 0.50, "mid_back": 0.66,
    "hip": 0.52, "knee": 0.30, "ankle": 0.06, "heel": 0.03, "toe": 0.01,
}  # fmt: skip
_MIDDLE = 0.48
_SPAN_POINTS = 8
"""A frame with so many points shows how high the body is."""


LONGEST_S = 0.35
"""Over so long before the first or after the last known frame a body is taken to go on as it went (own
assumption: a step and a half)."""


def framing(
    run: Run,
    tracks: Tracks | None,
    frame: int,
    seconds: Floats,
    plain: ViewMapping,
    room: tuple[float, float],
) -> ViewMapping | None:
    """The mapping that shows the athlete of a frame large, in a view of that room; None where nothing tells
    where the athlete is, or where the whole picture shows as much. ``seconds``: when each frame was taken.
    ``plain``: the mapping that shows the whole picture.
    """
    height = _height_px(run)
    middle = None if height is None else _middle(run, tracks, frame, seconds, height)
    if height is None or middle is None:
        return None
    scale = min(LARGEST, SHARE * room[1] / height)
    if scale <= LEAST_GAIN * plain.scale:
        return None
    return plain.scaled_so(scale, middle, (room[0] / 2, room[1] / 2))


def _height_px(run: Run) -> float | None:
    """How high the body stands in the picture: from the frame with most points, else from the marks."""
    spans: dict[int, list[float]] = {}
    for p in run.points:
        spans.setdefault(int(p.frame), []).append(p.v)
    most = max(spans.values(), key=len, default=[])
    if len(most) >= _SPAN_POINTS:
        return max(40.0, max(most) - min(most))
    along = sorted((m.x_m, m.u) for m in run.marks if m.y_m == 0.0)
    gaps = [(b[0] - a[0], abs(b[1] - a[1])) for a, b in pairwise(along) if b[0] > a[0]]
    return USUAL_M * fmean(px / metres for metres, px in gaps) if gaps else None


def _middle(run: Run, tracks: Tracks | None, frame: int, seconds: Floats, height: float) -> Place | None:
    """The middle of the body on a frame: from the points that are known there, else between or beyond the
    frames with points as it went there.
    """
    here = {name: spot.place for name, spot in spots_on(run, tracks, frame).items()}
    if here:
        return _middle_of(here, height)
    known = _known(run, height)
    last = len(seconds) - 1
    frames = [f for f in sorted(known) if f <= last]
    if not frames or not 0 <= frame <= last:
        return None
    before = [f for f in frames if f < frame]
    after = [f for f in frames if f > frame]
    now = float(seconds[frame])
    if before and after:
        return _between(before[-1], after[0], now, known, seconds)
    near, far = (before[-1], before[-2:-1]) if before else (after[0], after[1:2])
    if abs(now - float(seconds[near])) > LONGEST_S:
        return None
    return _between(near, far[0], now, known, seconds) if far else known[near]


def _known(run: Run, height: float) -> dict[int, Place]:
    """The middle of the body on each frame that holds points; at the beginning of the run, as long as the
    athlete stands, above the mark on the start line.
    """
    places: dict[int, dict[str, Place]] = {}
    for p in run.points:
        places.setdefault(int(p.frame), {})[p.name] = p.u, p.v
    found = {frame: _middle_of(on, height) for frame, on in places.items()}
    start = next((m for m in run.marks if m.x_m == 0.0 and m.y_m == 0.0), None)
    leaves = run.start.rear_toe_off or run.start.front_toe_off
    if start is not None and leaves is not None and not found:
        found[int(leaves)] = start.u, start.v - _MIDDLE * height
        found[int(run.first_frame)] = found[int(leaves)]
    return found


def _between(one: int, other: int, now: float, known: Mapping[int, Place], seconds: Floats) -> Place:
    """On the straight way through two known places, or beyond them."""
    begin, end = float(seconds[one]), float(seconds[other])
    share = (now - begin) / (end - begin)
    (u, v), (u_other, v_other) = known[one], known[other]
    return u + share * (u_other - u), v + share * (v_other - v)


def _middle_of(here: Mapping[str, Place], height: float) -> Place:
    shares = [_HEIGHT_SHARES.get(n.removeprefix("left_").removeprefix("right_"), _MIDDLE) for n in here]
    across = fmean(u for u, _ in here.values())
    return across, fmean(v + (s - _MIDDLE) * height for s, (_, v) in zip(shares, here.values(), strict=True))
