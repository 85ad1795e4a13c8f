"""Points followed from frame to frame, both ways, between the frames on which the coach placed them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from scipy.interpolate import PchipInterpolator

from analysis.derive.following.flow import Given, Steps, follow_pass
from analysis.derive.following.limbs import Limb, limbs_of
from analysis.derive.following.pictures import cut_out
from analysis.derive.following.smoothing import smooth
from analysis.values.errors import PointError
from analysis.values.film import Film, FrameNumber
from analysis.values.run import POINT_NAMES, BodyPoint, Direction
from analysis.values.tracks import Floats, Standing, Tracks, tracks_key
from analysis.values.words import tr

METHOD = "limbs-1"
"""Changes whenever the same input may give other tracks."""

LONGEST = 1200
"""Frames that are followed at a time."""
DRIFT = 0.0009
"""Standard uncertainty of a seen move, as a share of the body's height, beside what its samples show."""
LIKELY_U = 0.008
"""Standard uncertainty of a move taken from the curve between placed frames, as a share of the body's
height, at the usual distance of 12 frames."""
GROWS = 0.25
"""A limb that changes its length by this share between two placed frames is named (the film's own change of
view seldom makes more)."""
KNOWN_U = 0.05
"""Beyond the first and last placed frame a point is kept while its standard uncertainty is below this share
of the body's height."""


def follow_points(
    film: Film,
    points: Iterable[BodyPoint],
    first: int,
    last: int,
    direction: Direction = Direction.RIGHT,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
) -> Tracks:
    """Follow ``points`` through the frames ``first`` to ``last`` of a film.

    ``direction``: of the run; a camera that sees it go to the right sees the athlete's right side. Between
    placed frames the stiff moves of limbs are found in the pictures forwards and backwards, weighed against
    each other by how well they are seen, and tied to all placed points by their errors; a hidden point moves
    along the curve through the frames on which it was placed, and is marked as a guess. ``progress`` is told
    shares from 0 to 1; ``stopped`` is asked between frames, and ReadingStopped is raised.

    Raises PointError where nothing is placed in the stretch or the stretch is too short or too long,
    FilmError and FrameError as FrameReader does.
    """
    asked = [p for p in points if first <= p.frame <= last and p.name in POINT_NAMES]
    asked = [p for p in asked if np.isfinite(p.u + p.v + p.error_px) and p.error_px > 0]
    _check(film, asked, first, last)
    names = tuple(n for n in POINT_NAMES if any(p.name == n for p in asked))
    placed, placed_u = _as_arrays(asked, names, first, last)
    likely = _curves(placed)
    height = _body_height(placed)
    tell = progress or _nobody

    def step(row: int) -> None:
        tell(0.4 * row / len(placed))

    cuts = cut_out(film, first, _boxes(likely, height), height, step, stopped)
    near = direction.value
    limbs = limbs_of(names, near)
    scaled = Given(
        placed * cuts.shrink,
        likely * cuts.shrink,
        _lengths(placed * cuts.shrink, limbs),
        limbs,
        height * cuts.shrink,
    )
    rows = range(len(placed))
    ahead = follow_pass(cuts, scaled, backwards=False, rows=rows)
    tell(0.7)
    back = follow_pass(cuts, scaled, backwards=True, rows=rows)
    tell(0.97)
    moves, moves_u, seen = _joined(ahead, back, scaled, names, near)
    moves, moves_u = moves / cuts.shrink, moves_u / cuts.shrink
    moves_u = _fit_to_ends(placed, placed_u, moves, moves_u)
    places, u = smooth(placed, placed_u, moves, moves_u)
    result = _tracks(film, asked, first, last, names, placed, places, u, seen, height)
    tell(1.0)
    return result


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
                "Points are followed through at most {count} frames at a time. Choose a shorter stretch."
            ).format(count=LONGEST)
        )
    if not asked:
        raise PointError(tr("No body point is placed in this stretch. Place the points on one frame first."))


def _as_arrays(
    points: Sequence[BodyPoint], names: tuple[str, ...], first: int, last: int
) -> tuple[Floats, Floats]:
    placed = np.full((last - first + 1, len(names), 2), np.nan)
    u = np.full(placed.shape[:2], np.inf)
    for p in points:
        column = names.index(p.name)
        placed[p.frame - first, column] = p.u, p.v
        u[p.frame - first, column] = p.error_px
    return placed, u


def _curves(placed: Floats) -> Floats:
    """Smooth curves through the placed points, carried on straight for ever beyond the ends."""
    n, p = placed.shape[:2]
    curves = np.full(placed.shape, np.nan)
    rows = np.arange(n)
    common = _common_motion(placed)
    for column in range(p):
        known = np.flatnonzero(np.isfinite(placed[:, column, 0]))
        if len(known) == 1:
            curves[:, column] = placed[known[0], column] + common - common[known[0]]
        elif len(known):
            relative = placed[known, column] - common[known]
            inside = np.clip(rows, known[0], known[-1])
            curves[:, column] = PchipInterpolator(known, relative)(inside) + common
    return curves


def _common_motion(placed: Floats) -> Floats:
    """How the body as a whole moves, (n, 2): the mean over points of their own piecewise straight ways."""
    n, p = placed.shape[:2]
    rows = np.arange(n)
    speeds = np.zeros((n - 1, 2))
    count = np.zeros((n - 1, 1))
    for column in range(p):
        known = np.flatnonzero(np.isfinite(placed[:, column, 0]))
        if len(known) < 2:
            continue
        way = np.stack([np.interp(rows, known, placed[known, column, axis]) for axis in (0, 1)], axis=1)
        speeds[known[0] : known[-1]] += np.diff(way, axis=0)[known[0] : known[-1]]
        count[known[0] : known[-1]] += 1
    there = count[:, 0] > 0
    speeds[there] /= count[there]
    if there.any():
        last, first = np.flatnonzero(there)[-1], np.flatnonzero(there)[0]
        speeds[last + 1 :], speeds[:first] = speeds[last], speeds[first]
    return np.concatenate([np.zeros((1, 2)), np.cumsum(speeds, axis=0)])


def _body_height(placed: Floats) -> float:
    """How high the body stands in the picture, px: from the most complete frames."""
    count = np.isfinite(placed[:, :, 0]).sum(axis=1)
    best = np.flatnonzero(count == count.max())
    spread = [np.ptp(placed[row][np.isfinite(placed[row, :, 0])], axis=0) for row in best]
    return max(60.0, float(np.median([np.hypot(*s) for s in spread])))


def _boxes(likely: Floats, height: float) -> Floats:
    margin = 0.22 * height
    return np.concatenate([np.nanmin(likely, axis=1) - margin, np.nanmax(likely, axis=1) + margin], axis=1)


def _lengths(placed: Floats, limbs: list[Limb]) -> Floats:
    """Likely length of each limb on every frame: straight between placed frames."""
    rows = np.arange(len(placed))
    lengths = np.full((len(placed), len(limbs)), np.nan)
    for i, limb in enumerate(limbs):
        span = np.linalg.norm(placed[:, limb.second] - placed[:, limb.first], axis=1)
        known = np.flatnonzero(np.isfinite(span))
        if len(known):
            lengths[:, i] = np.interp(rows, known, span[known])
    return lengths


def _joined(
    ahead: Steps, back: Steps, given: Given, names: tuple[str, ...], near: str
) -> tuple[Floats, Floats, npt.NDArray[np.bool_]]:
    """Both passes' moves as one, (n - 1, p, 2), their uncertainty and whether the point was seen."""
    likely = np.diff(given.likely, axis=0)
    likely_u = LIKELY_U * given.height * _gaps(given.placed) / 12.0 + 0.1 * np.linalg.norm(likely, axis=2)
    drift = DRIFT * given.height
    ways = []
    for passed in (ahead, back):
        worse = passed.u + drift
        ways.append((passed.moves, worse, _since(given.placed, worse, passed is back)))
    (one, one_u, one_all), (other, other_u, other_all) = ways
    w_one, w_other = 1.0 / (one_all**2), 1.0 / (other_all**2)
    total = w_one + w_other
    seen = total > 0
    safe = np.where(seen, total, 1.0)
    a, b = w_one / safe, w_other / safe
    moves = np.where(seen[..., None], one * a[..., None] + other * b[..., None], likely)
    apart = np.linalg.norm(one - other, axis=2)
    flow_u = np.sqrt(
        (a * np.where(a > 0, one_u, 0.0)) ** 2
        + (b * np.where(b > 0, other_u, 0.0)) ** 2
        + a * b * apart**2 / 2
    )
    flow_u = np.where(seen, np.maximum(flow_u, drift), np.inf)
    moves, u = _with_likely(moves, flow_u, likely, likely_u)
    _take_from_partner(moves, u, seen, names, near, given.height)
    return moves, u, seen


def _with_likely(moves: Floats, u: Floats, likely: Floats, likely_u: Floats) -> tuple[Floats, Floats]:
    w, v = u**-2, likely_u**-2
    share = (w / (w + v))[..., None]
    moves = np.where(np.isfinite(likely), share * moves + (1 - share) * np.nan_to_num(likely), moves)
    return moves, 1.0 / np.sqrt(w + v)


def _take_from_partner(
    moves: Floats, u: Floats, seen: npt.NDArray[np.bool_], names: tuple[str, ...], near: str, height: float
) -> None:
    """A hidden far hip or shoulder moves much as the near one does."""
    far = "left" if near == "right" else "right"
    for joint in ("hip", "shoulder"):
        if f"{far}_{joint}" not in names or f"{near}_{joint}" not in names:
            continue
        own, other = names.index(f"{far}_{joint}"), names.index(f"{near}_{joint}")
        use = ~seen[:, own] & seen[:, other]
        moves[use, own] = moves[use, other]
        u[use, own] = np.hypot(u[use, other], 0.003 * height)


def _gaps(placed: Floats) -> Floats:
    """Frames between the placed frames on either side of each move, (n - 1, p); 24 beyond the ends."""
    n, p = placed.shape[:2]
    gaps = np.full((n - 1, p), 24.0)
    for column in range(p):
        known = np.flatnonzero(np.isfinite(placed[:, column, 0]))
        for a, b in pairwise(known):
            gaps[a:b, column] = b - a
    return gaps


def _since(placed: Floats, u: Floats, backwards: bool) -> Floats:
    """Uncertainty gathered since the placed frame from which a pass came, (n - 1, p)."""
    fresh = np.isfinite(placed[:, :, 0])
    squares = np.zeros(u.shape)
    gathered = np.full(u.shape[1], np.inf)
    rows = range(len(u) - 1, -1, -1) if backwards else range(len(u))
    for row in rows:
        begin = row + 1 if backwards else row
        gathered = np.where(fresh[begin], 0.0, gathered)
        gathered = gathered + np.where(np.isfinite(u[row]), u[row] ** 2, (0.02 * 200) ** 2)
        squares[row] = np.where(np.isfinite(u[row]), gathered, np.inf)
    return np.sqrt(squares)


def _fit_to_ends(placed: Floats, placed_u: Floats, moves: Floats, moves_u: Floats) -> Floats:
    """Raise the moves' uncertainties where they miss the next placed frame by more than they say."""
    raised = moves_u.copy()
    for column in range(placed.shape[1]):
        known = np.flatnonzero(np.isfinite(placed[:, column, 0]))
        for a, b in pairwise(known):
            miss = placed[b, column] - placed[a, column] - moves[a:b, column].sum(axis=0)
            own = float((moves_u[a:b, column] ** 2).sum())
            clicks = float(placed_u[a, column] ** 2 + placed_u[b, column] ** 2)
            excess = (float(miss @ miss) / 2 - clicks) / own
            raised[a:b, column] *= np.sqrt(max(1.0, excess))
    return raised


def _tracks(
    film: Film,
    asked: Sequence[BodyPoint],
    first: int,
    last: int,
    names: tuple[str, ...],
    placed: Floats,
    places: Floats,
    u: Floats,
    seen: npt.NDArray[np.bool_],
    height: float,
) -> Tracks:
    on_frame = np.isfinite(placed[:, :, 0])
    seen_here = np.zeros(on_frame.shape, bool)
    seen_here[:-1] |= seen
    seen_here[1:] |= seen
    standing = np.where(seen_here, Standing.FOLLOWED, Standing.GUESSED).astype(np.uint8)
    standing[on_frame] = Standing.PLACED
    for column in range(len(names)):
        known = np.flatnonzero(on_frame[:, column])
        beyond = np.ones(len(places), bool)
        beyond[known[0] : known[-1] + 1] = False
        standing[beyond & (u[:, column] > KNOWN_U * height), column] = Standing.NONE
    unknown = standing == Standing.NONE
    places = np.where(unknown[..., None], np.nan, places)
    u = np.where(unknown, np.inf, u)
    memory = np.array([np.median(_gaps(placed)[:, c]) / 2 for c in range(len(names))])
    key = tracks_key(film.fingerprint, METHOD, first, last, asked)
    return Tracks(key, FrameNumber(first), names, places, u, standing, memory, _doubts(placed, names, first))


def _doubts(placed: Floats, names: tuple[str, ...], first: int) -> tuple[str, ...]:
    """Limbs whose length changes beyond belief from one placed frame to the next."""
    said = []
    for limb in limbs_of(names, ""):
        span = np.linalg.norm(placed[:, limb.second] - placed[:, limb.first], axis=1)
        known = np.flatnonzero(np.isfinite(span))
        for a, b in pairwise(known):
            longer = abs(float(np.log(max(span[b], 1.0) / max(span[a], 1.0))))
            if longer > np.log1p(GROWS) and abs(span[b] - span[a]) > 8.0 and b - a <= 24:
                said.append(
                    tr(
                        "From {one} to {other} it is {before} px on frame {first} and {after} px on frame "
                        "{last}: one of the points is wrong, or left and right are changed over."
                    ).format(
                        one=tr(names[limb.first].replace("_", " ")),
                        other=tr(names[limb.second].replace("_", " ")),
                        before=round(float(span[a])),
                        after=round(float(span[b])),
                        first=first + a,
                        last=first + b,
                    )
                )
    return tuple(said)


def _nobody(_: float) -> None:
    return None
