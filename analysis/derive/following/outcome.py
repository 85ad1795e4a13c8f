"""From smoothed places to tracks: what was seen, and what is a guess."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analysis.derive.following.limbs import covered, limbs_of
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from analysis.values.tracks import Standing, Tracks

Floats = npt.NDArray[np.float64]

KNOWN_U = 0.04
"""Beyond its first and last placed frame a point is kept while its standard uncertainty is below this share
of the body's height: as long as nobody needs to be asked about it."""
DRIFT_PER_S = 1.0
"""Beyond the first and last placed frame nothing comes back to check a point, and one that has slipped onto
something else does not show it: its standard uncertainty grows by this share of the body's height a second
(own: on twelve stretches of the sample clips 95 % intervals then hold 98 % of the nine frames that are kept
at 240 a second; tests/bench/bench_following_times.py)."""
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
    alike: Floats,
    seen: npt.NDArray[np.bool_],
    height: float,
    drift: float,
) -> Tracks:
    """Tracks of the smoothed places (n, p, 2) with uncertainties (n, p). ``points``: those from which they
    come, ``placed`` (n, p, 2) the same as arrays. ``alike``: (n - 1, p), how far the errors of
    neighbouring frames go together. ``seen``: (n - 1, p), whether the point was seen from each
    frame to the next. ``near``: the side of the athlete that the camera sees.
    ``drift``: the body's height times the seconds from frame to frame, for what a point beyond its last
    placed frame may have slipped; 0: it is kept however far it is, as sure as the pictures tell.
    """
    on_frame = np.isfinite(placed[:, :, 0])
    places, u = smoothed
    seen_here = np.zeros(on_frame.shape, bool)
    seen_here[:-1] |= seen
    seen_here[1:] |= seen
    guess = ~seen_here | _hidden(places, names, near)
    u = np.where(guess & ~on_frame, np.hypot(u, HIDDEN_U * height), u)
    u = np.hypot(u, DRIFT_PER_S * drift * _frames_beyond(on_frame))
    standing = np.where(guess, Standing.GUESSED, Standing.FOLLOWED).astype(np.uint8)
    standing[on_frame] = Standing.PLACED
    if drift:
        standing[(_frames_beyond(on_frame) > 0) & (u > KNOWN_U * height)] = Standing.NONE
    unknown = standing == Standing.NONE
    places = np.where(unknown[..., None], np.nan, places)
    u = np.where(unknown, np.inf, u)
    memory = np.array([_memory(alike[:, n], on_frame[:, n]) for n in range(len(names))])
    return Tracks(key, FrameNumber(first), names, places, u, standing, memory, points)


def _frames_beyond(on_frame: npt.NDArray[np.bool_]) -> Floats:
    """How many frames each point is past its own last placed frame or before its first, (n, p); 0 between."""
    rows = np.arange(len(on_frame))[:, None]
    first, last = on_frame.argmax(axis=0), len(on_frame) - 1 - on_frame[::-1].argmax(axis=0)
    return np.asarray(np.maximum(np.maximum(first - rows, rows - last), 0), np.float64)


def _memory(alike: Floats, placed: npt.NDArray[np.bool_]) -> float:
    """Over how many frames errors lose all but 1/e of what they share, on average between the first and the
    last placed frame; 0 where only one is.
    """
    first, last = np.flatnonzero(placed)[[0, -1]]
    lost = -np.log(np.clip(alike[first:last], 1e-9, 1.0 - 1e-9))
    return 1.0 / float(lost.mean()) if len(lost) else 0.0


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
