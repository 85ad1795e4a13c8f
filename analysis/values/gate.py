"""Times from timing gates, and how they stand against a film's splits."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.values.estimate import Estimate, Result

RESOLUTION_S = 0.01
"""To what a gate's time is given (common practice, no source)."""


@dataclass(frozen=True)
class GateTime:
    """One time of an athlete over a distance. ``date``: year-month-day; ``distance_m``: from the start line
    to the gate; ``note``: the coach's words.
    """

    id: str
    athlete_id: str
    date: str
    distance_m: float
    time_s: float
    note: str = ""


@dataclass(frozen=True)
class GateDay:
    """An athlete's gate times of a day over a distance, against the films of that day.

    ``times_s``: each of them; ``gate_s``: their mean with what reading off to ``RESOLUTION_S`` leaves open.
    ``film_s``: mean split at that distance of the ``runs`` that have one, from the run's clock zero;
    ``film_off_s``: from front toe-off. ``difference_s``, ``difference_off_s``: gates less film.
    """

    athlete_id: str
    day: str
    distance_m: float
    times_s: tuple[float, ...]
    gate_s: Estimate
    runs: int
    film_s: Result
    film_off_s: Result
    difference_s: Result
    difference_off_s: Result
