"""How likely each moment is to be a touchdown or a toe-off, from what is seen of the foot around it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.signals import Signals

Floats = npt.NDArray[np.float64]

UNIT_S = 1 / 240
"""Moments lie so far apart, and so do the looks at the signals around each."""
MOMENTS = np.arange(-22, 23)
"""Moments around what the strip tells, in units."""
LOOKS = np.arange(-9, 10)
"""Looks around each moment, in units."""
_FAR = 12.0
_WEIGHTS = Path(__file__).with_name("event_weights.json")


@dataclass(frozen=True, eq=False)
class Chances:
    """``times``: moments, in fractions of a frame from the strip's first, evenly apart; ``share``: (m,) how
    likely each is, 1 together.
    """

    times: Floats
    share: Floats

    @property
    def best(self) -> float:
        """The middle of the likeliest stretch."""
        peak = int(np.argmax(np.convolve(self.share, np.ones(3), mode="same")))
        near = slice(max(0, peak - 3), peak + 4)
        return float(self.share[near] @ self.times[near] / self.share[near].sum())

    def within(self, begin: float, end: float) -> float:
        """How likely the event lies after ``begin`` and not after ``end``."""
        return float(self.share[(self.times > begin) & (self.times <= end)].sum())

    def times_likely(self, factor: Floats) -> Chances:
        """With each moment so many times as likely."""
        share = self.share * factor
        total = float(share.sum())
        return self if total <= 0 else Chances(self.times, share / total)


@dataclass(frozen=True, eq=False)
class Net:
    """One hidden layer beside a straight way: ``inner`` (d, h), ``bias`` and ``outer`` (h,), ``straight``
    (d,).
    """

    inner: Floats
    bias: Floats
    outer: Floats
    straight: Floats

    def chances(self, inputs: Floats) -> Floats:
        """Of each moment's inputs, (m, d)."""
        scores = np.tanh(inputs @ self.inner + self.bias) @ self.outer + inputs @ self.straight
        out: Floats = np.exp(scores - scores.max())
        out /= out.sum()
        return out


def inputs_of(signals: Signals, event: int, rate_hz: float) -> tuple[Floats, Floats]:
    """Moments around frame ``event``, in frames, and what is seen around each, (m, d)."""
    step = rate_hz * UNIT_S
    times = np.asarray((event - 0.5) + MOMENTS * step, np.float64)
    at = times[:, None] + LOOKS * step - signals.first
    places = np.arange(len(signals.values))
    seen = np.stack([np.interp(at, places, one) for one in signals.values.T], axis=-1)
    far = MOMENTS[:, None] / _FAR
    return times, np.column_stack([seen.reshape(len(MOMENTS), -1) - 0.5, far, far**2])


def chances_of(signals: Signals, event: int, rate_hz: float, kind: str) -> Chances:
    """``kind``: "touchdown" or "toe-off"; ``event``: its frame as the strip tells it."""
    times, inputs = inputs_of(signals, event, rate_hz)
    return Chances(times, _nets()[kind].chances(inputs))


@cache
def _nets() -> dict[str, Net]:
    held = json.loads(_WEIGHTS.read_text(encoding="utf-8"))
    return {
        kind: Net(*(np.array(one[k]) for k in ("inner", "bias", "outer", "straight")))
        for kind, one in held["nets"].items()
    }
