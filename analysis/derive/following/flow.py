"""One pass through the pictures, forwards or backwards: how far every point moves from frame to frame."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.following.limbs import Complex, Floats, Limb, covered, samples, stiff_moves
from analysis.derive.following.pictures import Cuts
from analysis.film.luma import Grey
from analysis.film.reader import ReadingStopped

ROUND_TRIP = 0.006
"""A sample that comes back from the next frame farther than this share of the body's height off is not
trusted."""
LENGTH_PULL = 0.15
"""Share of a limb's error in length that is taken back in each frame."""
_LONE = np.array([x + 1j * y for x in (-1.0, 0.0, 1.0) for y in (-1.0, 0.0, 1.0)])


@dataclass(frozen=True)
class Steps:
    """``moves``: (n - 1, p, 2) from each frame to the next (in the film's order), px of the cuts. ``u``:
    (n - 1, p) standard uncertainty, infinite where the point was not seen. ``path``: (n, p, 2) where the pass
    led.
    """

    moves: Floats
    u: Floats
    path: Floats


@dataclass(frozen=True)
class Given:
    """What a pass is told, in px of the cuts' picture. ``placed``: (n, p, 2), NaN where not placed.
    ``likely``: (n, p, 2), smooth curves through the placed points. ``lengths``: (n, limbs) likely lengths.
    ``height``: of the body. ``interval_s``: from frame to frame.
    """

    placed: Floats
    likely: Floats
    lengths: Floats
    limbs: list[Limb]
    height: float
    interval_s: float


def follow_pass(
    cuts: Cuts,
    given: Given,
    backwards: bool,
    done: Callable[[int], None],
    stopped: Callable[[], bool],
) -> Steps:
    """Follow all points through the cuts; each begins where it is first placed and is set anew wherever it is
    placed again. ``done`` is told the number of frames done. Raises ReadingStopped where ``stopped`` says so.
    """
    n, p = given.placed.shape[:2]
    moves, u = np.zeros((n - 1, p, 2)), np.full((n - 1, p), np.inf)
    path = np.full((n, p, 2), np.nan)
    order = range(n - 1, -1, -1) if backwards else range(n)
    here = given.placed[order[0]].copy()
    path[order[0]] = here
    for count, (now, then) in enumerate(pairwise(order)):
        if stopped():
            raise ReadingStopped
        done(count)
        step, step_u = _step(cuts, given, now, then, here)
        here = here + step
        _pull_lengths(given, then, here, step_u)
        at = min(now, then)
        moves[at], u[at] = (here - path[now]) * (-1.0 if backwards else 1.0), step_u
        set_anew = np.isfinite(given.placed[then, :, 0])
        here[set_anew] = given.placed[then, set_anew]
        path[then] = here
    return Steps(moves, u, path)


def _step(cuts: Cuts, given: Given, now: int, then: int, here: Floats) -> tuple[Floats, Floats]:
    """Moves (p, 2) and their standard uncertainty (p,) from one frame to a neighbouring one."""
    likely = given.likely[then] - given.likely[now]
    likely = np.where(np.isfinite(likely), likely, 0.0)
    known = np.isfinite(here[:, 0])
    limbs = [limb for limb in given.limbs if known[limb.first] and known[limb.second]]
    in_limb = {column for limb in limbs for column in (limb.first, limb.second)}
    lone = [c for c in range(len(here)) if known[c] and c not in in_limb]
    spots, there = samples(limbs, here), samples(limbs, here + likely)
    clusters = _LONE[None] * 0.018 * given.height
    per_limb, per_lone = spots.shape[-1] if limbs else 0, len(_LONE)
    z, z_likely = _complex(here), _complex(here + likely)
    flat = np.concatenate([spots.ravel(), (z[lone][:, None] + clusters).ravel()])
    guess = np.concatenate([there.ravel(), (z_likely[lone][:, None] + clusters).ravel()])
    step, u = likely, np.full(len(here), np.inf)
    if len(flat) == 0:
        return step, u
    moved, trust = _flow(cuts, now, then, flat, guess, given.height)
    edge = len(limbs) * per_limb
    found: list[list[tuple[complex, float]]] = [[] for _ in here]
    if limbs:
        shape = (len(limbs), per_limb)
        far = np.array([not limb.near for limb in limbs])
        trusted = trust[:edge].reshape(shape) * ~covered(limbs, here, spots, far)
        centre, shift, turn, unsure = stiff_moves(spots, moved[:edge].reshape(shape), trusted)
        for i, limb in enumerate(limbs):
            size = abs(z[limb.second] - z[limb.first]) or 1.0
            for end in (limb.first, limb.second):
                arm = z[end] - centre[i]
                found[end].append((shift[i] + turn[i] * arm, unsure[i] * (1 + 2 * abs(arm) / size)))
    if lone:
        own = (z[lone][:, None] + clusters).reshape(len(lone), per_lone)
        shape = (len(lone), per_lone)
        centre, shift, turn, unsure = stiff_moves(
            own, moved[edge:].reshape(shape), trust[edge:].reshape(shape)
        )
        for i, column in enumerate(lone):
            found[column].append((shift[i] + turn[i] * (z[column] - centre[i]), unsure[i]))
    step = likely.copy()
    for column, ways in enumerate(found):
        told = [(move, own_u) for move, own_u in ways if np.isfinite(own_u)]
        if told:
            weights = np.array([own_u**-2 for _, own_u in told])
            values = np.array([move for move, _ in told])
            move = (weights * values).sum() / weights.sum()
            apart = float((weights * np.abs(values - move) ** 2).sum() / weights.sum())
            step[column] = move.real, move.imag
            u[column] = np.sqrt(1.0 / weights.sum() + 0.5 * apart)
    return step, u


def _complex(places: Floats) -> Complex:
    return np.asarray(places[:, 0] + 1j * places[:, 1])


def _flow(
    cuts: Cuts, now: int, then: int, spots: Complex, guess: Complex, height: float
) -> tuple[Complex, Floats]:
    """Where the spots go, as moves, and 1 or 0 for whether to trust each."""
    window = int(np.clip(2 * round(0.035 * height) + 1, 9, 25))
    how = {
        "winSize": (window, window),
        "maxLevel": 2,
        "flags": cv2.OPTFLOW_USE_INITIAL_FLOW,
        "criteria": (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 12, 0.02),
    }
    start = _local(spots, cuts.origins[now])
    end = _local(guess, cuts.origins[then])
    one, other = cuts.pictures[now], cuts.pictures[then]
    ended, ok, _ = cv2.calcOpticalFlowPyrLK(one, other, start, end.copy(), **how)  # type: ignore[call-overload]
    back, ok_back, _ = cv2.calcOpticalFlowPyrLK(other, one, ended, start.copy(), **how)  # type: ignore[call-overload]
    off = np.linalg.norm(np.asarray(back) - start, axis=1)
    trust = (ok.ravel() > 0) & (ok_back.ravel() > 0) & (off < max(0.4, ROUND_TRIP * height))
    trust &= _inside(start, one) & _inside(np.asarray(ended), other)
    there = np.asarray(ended, np.float64) + cuts.origins[then]
    moves = there[:, 0] + 1j * there[:, 1] - spots
    return np.where(trust, moves, guess - spots), trust.astype(np.float64)


def _local(spots: Complex, origin: Floats) -> npt.NDArray[np.float32]:
    return np.stack([spots.real - origin[0], spots.imag - origin[1]], axis=1).astype(np.float32)


def _inside(places: npt.NDArray[np.float32], picture: Grey) -> npt.NDArray[np.bool_]:
    height, width = picture.shape
    inside = (places > 2).all(axis=1) & (places[:, 0] < width - 3) & (places[:, 1] < height - 3)
    return np.asarray(inside)


def _pull_lengths(given: Given, row: int, here: Floats, u: Floats) -> None:
    """Take back a share of each limb's error in length, from the less certain end most."""
    for i, limb in enumerate(given.limbs):
        along = here[limb.second] - here[limb.first]
        length, wanted = float(np.hypot(*along)), given.lengths[row, i]
        if not np.isfinite(length) or length < 1 or not np.isfinite(wanted):
            continue
        off = wanted - length
        u[[limb.first, limb.second]] += max(0.0, abs(off) - 0.06 * wanted) * 0.2
        share = _share(u[limb.first], u[limb.second])
        pull = LENGTH_PULL * off * along / length
        here[limb.first] -= share * pull
        here[limb.second] += (1 - share) * pull


def _share(first: float, second: float) -> float:
    """How much of a correction the first of two ends takes."""
    if np.isinf(first) == np.isinf(second):
        return 0.5 if np.isinf(first) else float(first**2 / (first**2 + second**2))
    return 1.0 if np.isinf(first) else 0.0
