"""Under which conditions a run was made, as the coach noted them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Stance(StrEnum):
    """How the athlete stood before the first movement."""

    SPLIT = "split"
    PARALLEL = "parallel"
    CROUCH = "crouch"
    BLOCKS = "blocks"
    ROLLING = "rolling"


class AgeGroup(StrEnum):
    """Whom a band may be meant for."""

    ADULT = "adult"
    YOUTH = "youth"
    CHILD = "child"


@dataclass(frozen=True)
class Conditions:
    """What was noted of one run; None or empty where nobody said.

    ``day``: as in a calendar, year-month-day (ISO 8601). ``load_kg``: pulled or worn, negative where the
    athlete was helped forwards. ``wind_m_s``: along the run, positive from behind. ``rep``: number of the run
    on that day, from 1.
    """

    day: str = ""
    stance: Stance | None = None
    load_kg: float | None = None
    surface: str = ""
    shoe: str = ""
    wind_m_s: float | None = None
    rep: int | None = None
    cue: str = ""
