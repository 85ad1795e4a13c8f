"""Two passes through the pictures and the likely curves, weighed into one move for each point and frame."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.derive.following.flow import Given, Steps

Floats = npt.NDArray[np.float64]

DRIFT = 0.0009
"""Standard uncertainty of a seen move, as a share of the body's height, beside what its samples show."""
QUICK = 0.04
"""A point that moves by more than this share of the body's height from one frame to the next, in the pictures
or on the curve through the placed frames, is often lost without a sign (at 30 frames a second nearly every
point) ..."""
QUICK_U = 0.15
"""... and so much of what is beyond is added to the move's standard uncertainty (own assumption, from hand
labels on a film of 30 frames a second)."""
LIKELY_U = 0.008
"""Standard uncertainty of a move taken from the curve between placed frames, as a share of the body's
height, where 12 frames lie between them ..."""
LIKELY_S = 0.05
"""... in so many seconds: the curve strays with the square of the time between (own assumption)."""


def join_passes(
    ahead: Steps, back: Steps, given: Given, names: tuple[str, ...], near: str
) -> tuple[Floats, Floats, npt.NDArray[np.bool_]]:
    """Both passes' moves as one, (n - 1, p, 2), their uncertainty and whether the point was seen."""
    likely = np.diff(given.likely, axis=0)
    gaps = gaps_between(given.placed)
    long = (gaps * given.interval_s / LIKELY_S) ** 2 * np.sqrt(12.0 / gaps)
    likely_u = LIKELY_U * given.height * long + 0.1 * np.linalg.norm(likely, axis=2)
    drift = DRIFT * given.height
    ways = []
    for passed in (ahead, back):
        # a pass has no way of a point before the frame on which it first meets it
        led = np.where(np.isfinite(passed.moves), passed.moves, np.nan_to_num(likely))
        # a lost point may stand still on what lies behind it: then the curve tells that it moved
        fast = np.linalg.norm([led, np.nan_to_num(likely)], axis=3).max(axis=0) - QUICK * given.height
        worse = passed.u + drift + QUICK_U * np.maximum(fast, 0.0)
        ways.append((led, worse, _since(given.placed, worse, passed is back)))
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


def gaps_between(placed: Floats) -> Floats:
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


def fit_to_ends(placed: Floats, placed_u: Floats, moves: Floats, moves_u: Floats) -> Floats:
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
