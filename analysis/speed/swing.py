"""Where in its step the body is, and the swing that this adds to its place."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

SWING_U_M = 0.012
"""Size of the hips' swing within a step to expect, m, standard deviation of each half of it (own
assumption)."""


class StepClock:
    """Step phase over time: a whole number at every touchdown.

    ``touchdowns_s``: rising, at least two. Where one interval is as long as several, that many steps are
    counted.
    """

    def __init__(self, touchdowns_s: Sequence[float]) -> None:
        self.touchdowns = np.asarray(touchdowns_s, dtype=np.float64)
        intervals = np.diff(self.touchdowns)
        self.usual_s = float(np.median(intervals))
        counts = np.maximum(1, np.round(intervals / self.usual_s))
        self.phases = np.concatenate([[0.0], np.cumsum(counts)])

    def phase(self, time_s: Floats) -> Floats:
        """Steps since the first touchdown, shape as ``time_s``; goes on evenly before it and after the
        last.
        """
        inside = np.interp(time_s, self.touchdowns, self.phases)
        early = np.minimum(0.0, time_s - self.touchdowns[0]) / self._step_at(0)
        late = np.maximum(0.0, time_s - self.touchdowns[-1]) / self._step_at(len(self.touchdowns) - 2)
        out: Floats = inside + early + late
        return out

    def swing(self, time_s: Floats) -> Floats:
        """Cosine and sine at step frequency, shape (n, 2); none before the first touchdown."""
        angle = 2 * np.pi * self.phase(time_s)
        waves = np.stack([np.cos(angle), np.sin(angle)], axis=1)
        out: Floats = np.where((np.asarray(time_s) >= self.touchdowns[0] - 1e-9)[:, None], waves, 0.0)
        return out

    def step_time(self, time_s: float) -> float:
        """Duration in s of the step under way at a time."""
        which = int(np.searchsorted(self.touchdowns, time_s, side="right")) - 1
        return self._step_at(int(np.clip(which, 0, len(self.touchdowns) - 2)))

    def _step_at(self, interval: int) -> float:
        length = self.touchdowns[interval + 1] - self.touchdowns[interval]
        return float(length / (self.phases[interval + 1] - self.phases[interval]))


WOBBLE_LASTS_S = 0.05
"""How long the body strays to one side of a smooth way, s (own assumption)."""


def crowding(time_s: Floats) -> Floats:
    """How many places share one and the same wobble: those within ``WOBBLE_LASTS_S`` about each, shape (n,).

    Places on every frame do not average the body's own wobble away as they average their clicks.
    """
    first = np.searchsorted(time_s, time_s - WOBBLE_LASTS_S / 2, side="left")
    last = np.searchsorted(time_s, time_s + WOBBLE_LASTS_S / 2, side="right")
    out: Floats = (last - first).astype(np.float64)
    return out
