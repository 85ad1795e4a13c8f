"""A correction: only the stretch around it is followed anew."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from analysis.derive.following.follow import follow_points
from analysis.values.camera import CameraPath
from analysis.values.film import Film, FrameNumber
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Standing, Tracks, changed_frames, followable, tracks_key

BEYOND = 2
"""Placed frames on either side of a correction that are followed anew with it; beyond the first of them the
tracks stay as they were."""


def follow_again(
    film: Film,
    before: Tracks,
    points: Iterable[BodyPoint],
    first: int,
    last: int,
    direction: Direction = Direction.RIGHT,
    camera: CameraPath | None = None,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
) -> Tracks:
    """``before`` with the stretch around every point that changed since followed anew, through all ``points``
    of the frames ``first`` to ``last`` as they are now. Rows outside the next placed frames stay as they
    were. Where a point is new, or one has lost all its frames, everything is followed. Parameters and errors
    otherwise as in ``follow_points``.
    """
    now = followable(points, first, last)
    changed = changed_frames(before, now)
    if {p.name for p in now} != set(before.names) or not changed:
        return follow_points(film, now, first, last, direction, camera, progress, stopped)
    frames = sorted({int(p.frame) for p in now})
    below = [f for f in frames if f < min(changed)]
    above = [f for f in frames if f > max(changed)]
    begin = below[-BEYOND] if len(below) >= BEYOND else first
    end = above[BEYOND - 1] if len(above) >= BEYOND else last
    near = [p for p in now if begin <= p.frame <= end]
    if {p.name for p in near} != set(before.names):
        return follow_points(film, now, first, last, direction, camera, progress, stopped)
    anew = follow_points(film, near, begin, end, direction, camera, progress, stopped)
    keep_from = below[-1] if len(below) >= BEYOND else begin
    keep_to = above[0] if len(above) >= BEYOND else end
    joined = _laid_over(_stretched(before, first, last), anew, keep_from, keep_to)
    key = tracks_key(film.fingerprint, first, last, now, direction, camera)
    return replace(joined, key=key, placed=now)


def _stretched(tracks: Tracks, first: int, last: int) -> Tracks:
    """The same tracks on the frames ``first`` to ``last``; nothing is known where they did not reach."""
    shape = (last - first + 1, len(tracks.names))
    places, u_px = np.full((*shape, 2), np.nan), np.full(shape, np.inf)
    standing = np.full(shape, Standing.NONE, dtype=np.uint8)
    begin, end = max(first, int(tracks.first)), min(last, tracks.last) + 1
    if begin < end:
        own, new = (slice(begin - start, end - start) for start in (int(tracks.first), first))
        places[new], u_px[new] = tracks.places[own], tracks.u_px[own]
        standing[new] = tracks.standing[own]
    return replace(tracks, first=FrameNumber(first), places=places, u_px=u_px, standing=standing)


def _laid_over(tracks: Tracks, anew: Tracks, first: int, last: int) -> Tracks:
    """``tracks`` with the rows of ``anew`` on the frames ``first`` to ``last``."""
    old, new = (slice(first - start, last + 1 - start) for start in (int(tracks.first), int(anew.first)))
    places, u_px, standing = tracks.places.copy(), tracks.u_px.copy(), tracks.standing.copy()
    places[old], u_px[old], standing[old] = anew.places[new], anew.u_px[new], anew.standing[new]
    return replace(tracks, places=places, u_px=u_px, standing=standing)
