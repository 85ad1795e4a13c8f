"""Limbs as stiff patches: samples along each, and the turn and shift that most of them share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.values.run import LIMB_ENDS, MIDDLE_ENDS, limbs_among

Floats = npt.NDArray[np.float64]
Complex = npt.NDArray[np.complex128]
Truths = npt.NDArray[np.bool_]

HALF_WIDTHS = dict(zip(LIMB_ENDS, (0.17, 0.11, 0.16, 0.14, 0.11, 0.16), strict=True))
"""Half width of the limbs of each side over their length (own assumption)."""
MIDDLE_HALF_WIDTH = 0.30
ALONG = np.array([0.04, 0.2, 0.36, 0.52, 0.68, 0.84, 0.97])
ACROSS = np.array([-0.55, 0.0, 0.55])
STRETCH = 0.06
"""A limb's length in the picture changes from frame to frame by less than this share."""


@dataclass(frozen=True)
class Limb:
    """``first``, ``second``: columns of its ends. ``half``: half width over length."""

    first: int
    second: int
    half: float
    near: bool


def limbs_of(names: tuple[str, ...], near: str) -> list[Limb]:
    """The limbs whose two ends are among the points; ``near``: the side of the athlete that is seen."""
    found = []
    for one, other in limbs_among(names):
        side, joint = one.split("_", 1) if (one, other) not in MIDDLE_ENDS else (near, "")
        half = HALF_WIDTHS[joint, other.split("_", 1)[1]] if joint else MIDDLE_HALF_WIDTH
        found.append(Limb(names.index(one), names.index(other), half, side == near))
    return found


def samples(limbs: list[Limb], places: Floats) -> Complex:
    """Sample points of each limb at these ``places`` (p, 2): (limbs, samples), u + iv."""
    z = places[:, 0] + 1j * places[:, 1]
    first = z[[limb.first for limb in limbs]][:, None, None]
    along = z[[limb.second for limb in limbs]][:, None, None] - first
    half = np.array([limb.half for limb in limbs])[:, None, None]
    made = first + along * (ALONG[None, :, None] + 1j * half * ACROSS[None, None, :])
    return np.asarray(made.reshape(len(limbs), len(ALONG) * len(ACROSS)))


def covered(limbs: list[Limb], places: Floats, spots: Complex, far: Truths) -> Truths:
    """Which spots (limbs, samples) of far limbs lie behind a near limb; ``far``: (limbs,)."""
    hidden = np.zeros(spots.shape, bool)
    z = places[:, 0] + 1j * places[:, 1]
    for limb in limbs:
        if not limb.near:
            continue
        a, along = z[limb.first], z[limb.second] - z[limb.first]
        if not np.isfinite(along) or abs(along) < 2:
            continue
        local = (spots - a) / along
        inside = (local.real > -0.08) & (local.real < 1.08) & (np.abs(local.imag) < limb.half * 1.15)
        hidden |= inside & far[:, None]
    return hidden


def stiff_moves(spots: Complex, moves: Complex, trust: Floats) -> tuple[Complex, Complex, Complex, Floats]:
    """The turn-and-shift of each limb that most of its samples share.

    ``spots``, ``moves``, ``trust``: (limbs, samples). Found by reweighted least squares with weights
    ``1 / (1 + (r / s)^2)^2`` (Geman & McClure), s falling to 0.7 px. Returns centre, shift of the centre and
    turn ``b`` (a spot z moves by ``shift + b (z - centre)``), and the standard uncertainty of the shift in
    px, infinite where too few samples agree; each (limbs,).
    """
    weight = trust.copy()
    count = np.maximum(trust.sum(axis=1), 1e-9)
    centre = shift = turn = np.zeros(len(spots), np.complex128)
    residual = np.zeros(spots.shape)
    for scale in (8.0, 4.0, 2.0, 1.2, 0.7, 0.7):
        total = np.maximum(weight.sum(axis=1), 1e-9)
        centre = (weight * spots).sum(axis=1) / total
        shift = (weight * moves).sum(axis=1) / total
        arm = spots - centre[:, None]
        spread = (weight * np.abs(arm) ** 2).sum(axis=1)
        turn = (weight * np.conj(arm) * (moves - shift[:, None])).sum(axis=1) / np.maximum(spread, 1e-6)
        turn = np.clip(turn.real, -STRETCH, STRETCH) + 1j * np.clip(turn.imag, -0.5, 0.5)
        residual = np.abs(moves - shift[:, None] - turn[:, None] * arm)
        weight = trust / (1.0 + (residual / scale) ** 2) ** 2
    agreeing = (trust * (residual < 1.5)).sum(axis=1)
    spread_px = np.sqrt((weight * residual**2).sum(axis=1) / np.maximum(weight.sum(axis=1), 1e-9))
    # neighbouring samples share texture: half of them count
    u = np.sqrt(spread_px**2 + 0.1**2) / np.sqrt(np.maximum(agreeing / 2, 0.5))
    u = np.where((agreeing >= 4) & (agreeing >= 0.35 * count), u, np.inf)
    return centre, shift, turn, u
