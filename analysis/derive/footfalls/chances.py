"""How likely each moment is to be a touchdown or a toe-off, from what is seen of the foot around it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls import event_net
from analysis.derive.footfalls.close_up import UNIT_S, CloseUp, Kind

Floats = npt.NDArray[np.float64]

KINDS: tuple[Kind, ...] = ("touchdown", "toe-off")
MOMENTS = np.arange(-22, 23)
"""Moments around what the strip tells, in units of a 240th of a second."""


@dataclass(frozen=True, eq=False)
class Chances:
    """``times``: moments, in fractions of a frame from the strip's first, evenly apart; ``share``: (m,) how
    likely each is, 1 together.
    """

    times: Floats
    share: Floats

    @property
    def best(self) -> float:
        """Where it is as likely earlier as later."""
        before = np.cumsum(self.share) - self.share
        at = int(np.searchsorted(before, 0.5 * float(self.share.sum()), side="left")) - 1
        part = (0.5 * float(self.share.sum()) - before[at]) / self.share[at]
        return float(self.times[at] + (part - 0.5) * (self.times[1] - self.times[0]))

    def within(self, begin: float, end: float) -> float:
        """How likely the event lies after ``begin`` and not after ``end``."""
        return float(self.share[(self.times > begin) & (self.times <= end)].sum())

    def times_likely(self, factor: Floats) -> Chances:
        """With each moment so many times as likely."""
        share = self.share * factor
        total = float(share.sum())
        return self if total <= 0 else Chances(self.times, share / total)


def chances_of(close: CloseUp, event: int, rate_hz: float, kind: Kind) -> Chances:
    """``kind``: of the event that is seen close up; ``event``: its frame as the strip tells it."""
    times = np.asarray((event - 0.5) + MOMENTS * rate_hz * UNIT_S, np.float64)
    return Chances(times, event_net.chances(event_net.nets()[kind], close.pictures, close.stands))
