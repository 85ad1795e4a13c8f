"""From smoothed places to tracks: what was seen, what is a guess, and what the coach should look at."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.derive.following.joining import gaps_between
from analysis.derive.following.limbs import covered, limbs_of
from analysis.values.film import FrameNumber
from analysis.values.tracks import Standing, Tracks
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

GROWS = 0.4
"""A limb that changes its length by this share between two placed frames is named (own assumption: an arm
that swings across the picture changes by less)."""
DOUBT_FRAMES = 24
KNOWN_U = 0.05
"""Beyond the first and last placed frame a point is kept while its standard uncertainty is below this share
of the body's height."""
HIDDEN_U = 0.004
"""What a hidden point's uncertainty is raised by, as a share of the body's height (own assumption)."""


def make_tracks(
    key: str,
    first: int,
    names: tuple[str, ...],
    near: str,
    placed: tuple[Floats, Floats],
    smoothed: tuple[Floats, Floats],
    seen: npt.NDArray[np.bool_],
    height: float,
) -> Tracks:
    """Tracks of the smoothed places (n, p, 2) with uncertainties (n, p). ``seen``: (n - 1, p), whether the
    point was seen from each frame to the next. ``near``: the side of the athlete that the camera sees.
    """
    on_frame = np.isfinite(placed[0][:, :, 0])
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
    memory = np.median(gaps_between(placed[0]), axis=0) / 2
    doubts = length_doubts(*placed, names, first)
    return Tracks(key, FrameNumber(first), names, places, u, standing, memory, doubts)


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


def length_doubts(placed: Floats, placed_u: Floats, names: tuple[str, ...], first: int) -> tuple[str, ...]:
    """Limbs whose length changes beyond belief from one placed frame to the next, in sentences."""
    said = []
    for limb in limbs_of(names, ""):
        span = np.linalg.norm(placed[:, limb.second] - placed[:, limb.first], axis=1)
        known = np.flatnonzero(np.isfinite(span))
        for a, b in pairwise(known):
            longer = abs(float(np.log(max(span[b], 1.0) / max(span[a], 1.0))))
            ends = placed_u[[a, a, b, b], [limb.first, limb.second] * 2]
            sure = abs(span[b] - span[a]) > 4.0 * float(np.linalg.norm(ends))
            if longer > np.log1p(GROWS) and sure and b - a <= DOUBT_FRAMES:
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
