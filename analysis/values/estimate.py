"""A number with its uncertainty, or the reason why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Estimate(NamedTuple):
    """A value with standard uncertainty ``u`` and the ends of its 95 % interval, all in one unit.

    ``lasting``: the part of ``u`` that comes from marks and camera, the same in every run that is read by
    them, so that a mean over such runs keeps it whole.
    """

    value: float
    u: float
    low: float
    high: float
    lasting: float = 0.0

    def scaled(self, factor: float) -> Estimate:
        """The same estimate in another unit (``factor`` > 0)."""
        parts = (self.value, self.u, self.low, self.high, self.lasting)
        return Estimate(*(part * factor for part in parts))

    @property
    def half_width(self) -> float:
        """Half the width of the 95 % interval."""
        return (self.high - self.low) / 2


@dataclass(frozen=True)
class NoValue:
    """No number, and the sentence that says why and what would give one."""

    reason: str


Result = Estimate | NoValue
"""What every measure comes out as."""
