"""Points followed from frame to frame, both ways, between the frames on which the coach placed them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np

from analysis.derive.following.flow import Given, follow_pass
from analysis.derive.following.joining import fit_to_ends, join_passes
from analysis.derive.following.lengths import hold_lengths
from analysis.derive.following.limbs import limbs_of
from analysis.derive.following.outcome import make_tracks
from analysis.derive.following.pictures import cut_out
from analysis.derive.following.preparing import (
    as_arrays,
    body_height,
    boxes_around,
    likely_lengths,
    likely_places,
)
from analysis.derive.following.smoothing import neighbours_alike, smooth
from analysis.values.camera import CameraPath
from analysis.values.errors import PointError
from analysis.values.film import Film
from analysis.values.point_names import point_words
from analysis.values.run import POINT_NAMES, BodyPoint, Direction
from analysis.values.tracks import Tracks, followable, tracks_key
from analysis.values.words import tr

LONGEST = 1200
"""Frames that are followed at a time."""


def follow_points(
    film: Film,
    points: Iterable[BodyPoint],
    first: int,
    last: int,
    direction: Direction = Direction.RIGHT,
    camera: CameraPath | None = None,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
    ahead: bool = False,
) -> Tracks:
    """Follow ``points`` through the frames ``first`` to ``last`` of a film.

    ``direction``: of the run; a camera that sees it go to the right sees the athlete's right side.
    ``camera``: where each frame looks, for a camera that moves. Between placed frames the stiff moves of
    limbs are found in the pictures forwards and backwards, weighed against each other by how well they are
    seen, and tied to all placed points by their errors; a hidden point moves along the curve through the
    frames on which it was placed, and is marked as a guess. The tracks pass near, not through, the placed
    points: what neighbouring frames say is weighed in, and that thighs and shins keep their lengths.
    ``progress`` is told shares from 0 to 1; ``stopped`` is asked between frames, and ReadingStopped is
    raised. ``ahead``: for proposals only: points are kept however far they are beyond their last placed
    frame, with the uncertainty that the pictures tell by themselves.

    Raises PointError where nothing is placed in the stretch or the stretch is too short or too long,
    FilmError and FrameError as FrameReader does.
    """
    asked = followable(points, first, last)
    _check(film, asked, first, last)
    names = tuple(n for n in POINT_NAMES if any(p.name == n for p in asked))
    placed, placed_u = as_arrays(asked, names, first, last)
    likely = likely_places(placed, first, camera)
    height = body_height(placed)
    tell = progress or _nobody
    halt = stopped or _never

    def shown(row: int) -> None:
        tell(0.4 * row / len(placed))

    cuts = cut_out(film, first, boxes_around(likely, height), height, shown, stopped)
    near = direction.value
    limbs = limbs_of(names, near)
    small = placed * cuts.shrink
    interval = float(np.median(np.diff(film.facts.times.seconds[first : last + 1])))
    given = Given(
        small, likely * cuts.shrink, likely_lengths(small, limbs), limbs, height * cuts.shrink, interval
    )

    def forth_done(row: int) -> None:
        tell(0.4 + 0.29 * row / len(placed))

    def back_done(row: int) -> None:
        tell(0.69 + 0.29 * row / len(placed))

    forth = follow_pass(cuts, given, False, forth_done, halt)
    back = follow_pass(cuts, given, True, back_done, halt)
    moves, moves_u, seen = join_passes(forth, back, given, names, near)
    moves, moves_u = moves / cuts.shrink, moves_u / cuts.shrink
    moves_u = fit_to_ends(placed, placed_u, moves, moves_u)
    places, u = smooth(placed, placed_u, moves, moves_u)
    smoothed = hold_lengths(places, u, placed, placed_u, names), u
    alike = neighbours_alike(placed, placed_u, moves_u)
    key = tracks_key(film.fingerprint, first, last, asked, direction, camera)
    drift = 0.0 if ahead else height * interval
    tracks = make_tracks(key, asked, first, names, near, placed, smoothed, alike, seen, height, drift)
    tell(1.0)
    return tracks


def _check(film: Film, asked: Sequence[BodyPoint], first: int, last: int) -> None:
    if not 0 <= first < last < film.frames:
        raise PointError(
            tr("Frames {first} to {last} can't be followed: the film has frames 0 to {end}.").format(
                first=first, last=last, end=film.frames - 1
            )
        )
    if last - first >= LONGEST:
        raise PointError(
            tr(
                "Points are followed through {count} frames at a time at most. Choose a shorter stretch."
            ).format(count=LONGEST)
        )
    if not asked:
        raise PointError(tr("No body point is placed in this stretch. Place the points on one frame first."))
    width, height = film.shown_size
    off = [p for p in asked if not (-1 <= p.u <= width and -1 <= p.v <= height)]
    if off:
        raise PointError(
            tr("The point {name} on frame {frame} lies off the picture. Move it or take it away.").format(
                name=point_words(off[0].name), frame=off[0].frame
            )
        )


def _nobody(_: float) -> None:
    return None


def _never() -> bool:
    return False
