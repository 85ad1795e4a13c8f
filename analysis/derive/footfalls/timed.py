"""A contact with its frames."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.derive.footfalls.contacts import Streak


@dataclass(frozen=True)
class Timed:
    """A contact's streak, its frames (None where film or picture cut it off), and how sure they are."""

    streak: Streak
    touchdown: int | None
    toe_off: int | None
    confidence: float
