"""A correction: only the stretch around it is followed anew."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from analysis.derive.following.follow import METHOD, follow_points, usable
from analysis.values.camera import CameraPath
from analysis.values.film import Film
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Tracks, tracks_key

BEYOND = 2
"""Placed frames on either side of a correction that are followed anew with it; beyond the first of them the
tracks stay as they were."""


def follow_again(
    film: Film,
    before: Tracks,
    points: Iterable[BodyPoint],
    changed: Sequence[int],
    direction: Direction = Direction.RIGHT,
    camera: CameraPath | None = None,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
) -> Tracks:
    """``before`` with the stretch around the frames ``changed`` followed anew through all ``points`` as they
    are now. Rows outside the next placed frames stay as they were. Where a point is new, or one has lost all
    its frames, everything is followed. Parameters and errors otherwise as in ``follow_points``.
    """
    first, last = int(before.first), before.last
    now = usable(points, first, last)
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
    old, new = (slice(keep_from - start, keep_to + 1 - start) for start in (first, begin))
    places, u_px, standing = before.places.copy(), before.u_px.copy(), before.standing.copy()
    places[old], u_px[old], standing[old] = anew.places[new], anew.u_px[new], anew.standing[new]
    key = tracks_key(film.fingerprint, METHOD, first, last, now)
    doubts = tuple(dict.fromkeys((*before.doubts, *anew.doubts)))
    return replace(before, key=key, doubts=doubts, places=places, u_px=u_px, standing=standing)
