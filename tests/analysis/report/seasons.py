"""Invented seasons: a sample clip's reading on other days, its splits moved by known amounts."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from analysis.plan.library import common_drills
from analysis.report.season import Season
from analysis.values.conditions import Conditions
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.estimate import Estimate, Result
from analysis.values.gate import GateTime
from analysis.values.questions import Question
from analysis.values.reading import Reading
from tests.analysis.report.pages import told_of_day

DAYS = ("2026-03-06", "2026-03-20", "2026-04-03")
REPS = (-0.006, 0.0, 0.006)
"""How the reps of a day lie round its middle, s."""


@cache
def _sample() -> Reading:
    return told_of_day().reading


def run_on(athlete_id: str, day: str, rep: int, shift_s: float, load_kg: float | None = None) -> Reading:
    """A run whose splits are ``shift_s`` later than the sample's."""
    sample = _sample()
    noted = Conditions(day=day, load_kg=load_kg)
    about = replace(sample.about, run_id=f"{athlete_id}.{day}.{rep}", athlete_id=athlete_id, conditions=noted)
    splits = tuple(
        replace(
            one,
            time_s=_moved(one.time_s, shift_s),
            from_front_toe_off_s=_moved(one.from_front_toe_off_s, shift_s),
        )
        for one in sample.splits
    )
    return replace(sample, about=about, splits=splits)


def season(code: str, *shifts: float, reps: tuple[float, ...] = REPS) -> Season:
    """An athlete's season with a test for each shift; days planned between them and after the last."""
    readings = tuple(
        run_on(code, day, rep, shift + own)
        for day, shift in zip(DAYS, shifts, strict=False)
        for rep, own in enumerate(reps)
    )
    drills = common_drills()
    planned = tuple(
        PlannedDrill(str(n), one.id, one.blocks[0], 3, 4, 90.0)
        for n, one in enumerate([*drills.values()][:2])
    )
    asked = {"2026-03-10": Question.SWAP, "2026-03-14": None, "2026-04-07": Question.STRIKE}
    plans = tuple(DayPlan(f"{code}{day}", day, (code,), question, planned) for day, question in asked.items())
    gates = tuple(GateTime(f"{code}{day}", code, day, 5.0, 1.62) for day in DAYS[: len(shifts)])
    return Season(code, code, readings, gates, (), plans, drills)


def squad_of(count: int) -> list[Season]:
    """A squad: of four athletes one changed, one held, one had a single run a day, one has nothing yet."""
    kinds = (
        lambda code: season(code, 0, -0.1),
        lambda code: season(code, 0, 0.001),
        lambda code: season(code, 0, -0.1, reps=(0.0,)),
        lambda code: Season(code, code),
    )
    return [kinds[n % 4](f"W{n}") for n in range(count)]


def _moved(number: Result, by: float) -> Result:
    if not isinstance(number, Estimate):
        return number
    return Estimate(number.value + by, number.u, number.low + by, number.high + by)
