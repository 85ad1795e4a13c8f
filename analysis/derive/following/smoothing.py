"""From placed points and moves between frames to places with uncertainties: a walk smoothed both ways."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def smooth(placed: Floats, placed_u: Floats, moves: Floats, moves_u: Floats) -> tuple[Floats, Floats]:
    """The most likely places (n, p, 2) and their standard uncertainty along each axis (n, p).

    ``placed``: (n, p, 2), NaN where not placed, with standard uncertainty ``placed_u`` (n, p). ``moves``:
    (n - 1, p, 2) from each frame to the next, with ``moves_u`` (n - 1, p). A Kalman filter forwards and one
    backwards, joined by their weights (Fraser & Potter 1969). NaN and infinity where nothing tells.
    """
    ahead, ahead_weight = _filter(placed, placed_u, moves, moves_u, with_own=True)
    turned = slice(None, None, -1)
    back, back_weight = _filter(
        placed[turned], placed_u[turned], -moves[turned], moves_u[turned], with_own=False
    )
    back, back_weight = back[turned], back_weight[turned]
    total = ahead_weight + back_weight
    with np.errstate(invalid="ignore", divide="ignore"):
        places = (ahead * ahead_weight[..., None] + back * back_weight[..., None]) / total[..., None]
        u = np.where(total > 0, 1.0 / np.sqrt(total), np.inf)
    return places, u


def neighbours_alike(placed: Floats, placed_u: Floats, moves_u: Floats) -> Floats:
    """The correlation of the errors of each frame and the next, (n - 1, p); 0 where nothing
    tells. Errors of ``smooth``'s places are a chain: those of frames farther apart are the product.

    With what the frames up to one know (weight A) and those from the next on (B), and a move of variance q
    between them, it is 1 / sqrt((1 + A q) (1 + B q)).
    """
    still, turned = np.zeros((*moves_u.shape, 2)), slice(None, None, -1)
    _, ahead = _filter(placed, placed_u, still, moves_u, with_own=True)
    _, back = _filter(placed[turned], placed_u[turned], still, moves_u[turned], with_own=True)
    variance = moves_u**2
    with np.errstate(invalid="ignore"):
        loose = (1.0 + ahead[:-1] * variance) * (1.0 + back[turned][1:] * variance)
    out: Floats = np.where(np.isfinite(loose), 1.0 / np.sqrt(np.where(np.isfinite(loose), loose, 1.0)), 0.0)
    return out


def _filter(
    placed: Floats, placed_u: Floats, moves: Floats, moves_u: Floats, with_own: bool
) -> tuple[Floats, Floats]:
    """Places and weights (1 / variance) from the frames before, with or without the frame's own."""
    n, p = placed.shape[:2]
    places, weights = np.zeros((n, p, 2)), np.zeros((n, p))
    place, weight = np.zeros((p, 2)), np.zeros(p)
    for row in range(n):
        if row:
            place = place + moves[row - 1]
            known = weight > 0
            weight = np.where(known, 1.0 / (1.0 / np.where(known, weight, 1.0) + moves_u[row - 1] ** 2), 0.0)
        if not with_own:
            places[row], weights[row] = place, weight
        here = np.isfinite(placed[row, :, 0])
        if here.any():
            own = 1.0 / placed_u[row, here] ** 2
            total = weight[here] + own
            place[here] += (own / total)[:, None] * (placed[row, here] - place[here])
            weight = weight.copy()
            weight[here] = total
        if with_own:
            places[row], weights[row] = place, weight
    return places, weights
