"""From smoothed places to tracks: what was seen, and what is a guess."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analysis.derive.following.joining import gaps_between
from analysis.derive.following.limbs import covered, limbs_of
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from analysis.values.tracks import Standing, Tracks

Floats = npt.NDArray[np.float64]

KNOWN_U = 0.05
"""Beyond the first and last placed frame a point is kept while its standard uncertainty is below this share
of the body's height."""
HIDDEN_U = 0.004
"""What a hidden point's uncertainty is raised by, as a share of the body's height (own assumption)."""


def make_tracks(
    key: str,
    points: tuple[BodyPoint, ...],
    first: int,
    names: tuple[str, ...],
    near: str,
    placed: Floats,
    smoothed: tuple[Floats, Floats],
    seen: npt.NDArray[np.bool_],
    height: float,
) -> Tracks:
    """Tracks of the smoothed places (n, p, 2) with uncertainties (n, p). ``points``: those from which they
    come, ``placed`` (n, p, 2) the same as arrays. ``seen``: (n - 1, p), whether the point was seen from each
    frame to the next. ``near``: the side of the athlete that the camera sees.
    """
    on_frame = np.isfinite(placed[:, :, 0])
    places, u = smoothed
    seen_here = np.zeros(on_frame.shape, bool)
    seen_here[:-1] |= seen
    seen_here[1:] |= seen
    guess = ~seen_here | _hidden(places, names, near)
    u = np.where(guess & ~on_frame, np.hypot(u, HIDDEN_U * height), u)
    standing = np.where(guess, Standing.GUESSED, Standing.FOLLOWED).astype(np.uint8)
    standing[on_frame] = Standing.PLACED
    for column in range(len(names)):
        known = np.flatnonzero(on_frame[:, column])
        beyond = np.ones(len(places), bool)
        beyond[known[0] : known[-1] + 1] = False
        standing[beyond & (u[:, column] > KNOWN_U * height), column] = Standing.NONE
    unknown = standing == Standing.NONE
    places = np.where(unknown[..., None], np.nan, places)
    u = np.where(unknown, np.inf, u)
    memory = np.median(gaps_between(placed), axis=0) / 2
    return Tracks(key, FrameNumber(first), names, places, u, standing, memory, points)


def _hidden(places: Floats, names: tuple[str, ...], near: str) -> npt.NDArray[np.bool_]:
    """Which far-side points lie behind a near limb, (n, p)."""
    limbs = limbs_of(names, near)
    side_far = [not n.startswith(near) and n.startswith(("left_", "right_")) for n in names]
    columns = np.flatnonzero(side_far)
    hidden = np.zeros(places.shape[:2], bool)
    far = np.ones(len(columns), bool)
    for row, here in enumerate(places):
        spots = (here[columns, 0] + 1j * here[columns, 1])[:, None]
        hidden[row, columns] = covered(limbs, here, spots, far)[:, 0]
    return hidden
