"""Thighs and shins are as long on one frame as on the next: followed points are held to that."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analysis.values.run import Side

Floats = npt.NDArray[np.float64]

LEG = ("hip", "knee", "ankle")
SWAY = 0.03
"""Standard uncertainty of a limb's length in the picture beside its smooth course, as a share of it: a thigh
that swings 14 degrees out of the picture's plane is shorter by so much (own assumption)."""
BEND_FROM, TILT_FROM = 12, 6
"""With so many placed frames the course of a length may bend, or only rise and fall; with fewer it is level:
who runs across a picture comes nearer to the camera and goes away from it."""
LEAST = 3
STRAYS = 3.0
"""A length that is off its course by so many standard uncertainties has another cause: it is not averaged."""
ROUNDS = 3


def hold_lengths(
    places: Floats, u: Floats, placed: Floats, placed_u: Floats, names: tuple[str, ...]
) -> Floats:
    """The places (n, p, 2) most likely by their own uncertainty ``u`` (n, p) and by the lengths of thigh and
    shin, whose course is that of the placed points (n, p, 2) with ``placed_u``.

    Each leg by itself; a frame on which a limb is far off its length stays as it is, to be asked about. What
    a point is off along a limb becomes less so, across it not: ``u`` stays true of the worse direction.
    Weighted least squares with the lengths as measurements (Gauss & Newton, three rounds).
    """
    held = places.copy()
    for side in Side:
        columns = [names.index(name) for j in LEG if (name := f"{side.value}_{j}") in names]
        if len(columns) == len(LEG):
            held[:, columns] = _leg(*(each[:, columns] for each in (places, u, placed, placed_u)))
    return held


def _leg(places: Floats, u: Floats, placed: Floats, placed_u: Floats) -> Floats:
    """One leg, (n, 3, 2)."""
    courses = [_course(placed[:, [a, a + 1]], placed_u[:, [a, a + 1]]) for a in (0, 1)]
    known = np.isfinite(u).all(axis=1) & np.isfinite(places).all(axis=(1, 2))
    lengths = np.stack([length for length, _ in courses], axis=1)
    doubts = np.stack([doubt for _, doubt in courses], axis=1)
    known &= np.isfinite(lengths).any(axis=1)
    start, variance = places[known].reshape(-1, 6), np.repeat(u[known] ** 2, 2, axis=1)
    wanted, doubt = lengths[known], doubts[known]
    now = start.copy()
    for _ in range(ROUNDS):
        slope, length = _slopes(now)
        innovation = wanted - length + np.einsum("nij,nj->ni", slope, now - start)
        spread = np.einsum("nij,nj,nkj->nik", slope, variance, slope)
        own = np.sqrt(np.einsum("nii->ni", spread) + doubt**2)
        strays = ~np.isfinite(wanted) | (np.abs(innovation) > STRAYS * own)
        slope = np.where(strays[..., None], 0.0, slope)
        innovation = np.where(strays, 0.0, innovation)
        spread = np.einsum("nij,nj,nkj->nik", slope, variance, slope)
        at = np.arange(2)
        spread[:, at, at] += np.where(strays, 1.0, doubt**2)
        pull = np.linalg.solve(spread, innovation[..., None])[..., 0]
        now = start + np.einsum("nj,nij,ni->nj", variance, slope, pull)
    out = places.copy()
    out[known] = now.reshape(-1, 3, 2)
    return out


def _slopes(leg: Floats) -> tuple[Floats, Floats]:
    """How thigh and shin lengthen with the six coordinates, (n, 2, 6), and how long they are, (n, 2)."""
    slope, length = np.zeros((len(leg), 2, 6)), np.zeros((len(leg), 2))
    for limb in (0, 1):
        first, second = slice(2 * limb, 2 * limb + 2), slice(2 * limb + 2, 2 * limb + 4)
        along = leg[:, second] - leg[:, first]
        length[:, limb] = np.maximum(np.linalg.norm(along, axis=1), 1e-6)
        slope[:, limb, second] = along / length[:, limb, None]
        slope[:, limb, first] = -slope[:, limb, second]
    return slope, length


def _course(placed: Floats, placed_u: Floats) -> tuple[Floats, Floats]:
    """A limb's length on every frame and its standard uncertainty, (n,), from its placed ends (n, 2, 2); NaN
    with too few.
    """
    n = len(placed)
    spans = np.linalg.norm(placed[:, 1] - placed[:, 0], axis=1)
    frames = np.flatnonzero(np.isfinite(spans))
    if len(frames) < LEAST:
        return np.full(n, np.nan), np.full(n, np.nan)
    degree = 2 if len(frames) >= BEND_FROM else 1 if len(frames) >= TILT_FROM else 0
    clicks = np.hypot(placed_u[frames, 0], placed_u[frames, 1])
    click = float(np.median(clicks))
    usual = float(np.median(spans[frames]))
    within = np.abs(spans[frames] - usual) < STRAYS * click + 0.25 * usual
    if within.sum() < LEAST:
        return np.full(n, np.nan), np.full(n, np.nan)
    frames = frames[within]
    degree = min(degree, len(frames) - 2)
    middle, half = (frames[0] + frames[-1]) / 2, max(1.0, (frames[-1] - frames[0]) / 2)
    curve = np.polynomial.Polynomial.fit((frames - middle) / half, spans[frames], degree)
    length = curve(np.clip((np.arange(n) - middle) / half, -1.0, 1.0))
    # errors across a limb lengthen it: half their variance over the length
    length = np.maximum(length - click**2 / (2.0 * np.maximum(length, 1.0)), 1.0)
    off = spans[frames] - curve((frames - middle) / half)
    beyond = max(0.0, float(np.mean(off**2)) - click**2)
    doubt = np.sqrt((SWAY * length) ** 2 + beyond + click**2 * (degree + 1) / len(frames))
    return length, doubt
