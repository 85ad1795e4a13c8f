"""An athlete's tests day by day, and what stands between one and the one before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from analysis.plan.coming import next_plan
from analysis.reading.asked_first import least_together
from analysis.reading.closing import Closing, closing
from analysis.reading.compare import compare, mean_of
from analysis.reading.conditions import differing
from analysis.reading.days import RunsOfDay, days_of
from analysis.reading.numbers import SPLITS, numbers_of
from analysis.reading.set_ups import set_ups_of
from analysis.values.bands import BandTable
from analysis.values.comparison import Claim, Compared, Comparison, MeasureKey, PublishedError
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.gate import GateTime
from analysis.values.reading import Reading
from analysis.values.words import tr

_HEADLINES = ((*SPLITS, "split_from_front_toe_off_s"), ("local_m_s", "model_m_s"))
"""What a day is summed up by: a split and a speed; the next of a group where the one before was not read."""


@dataclass(frozen=True)
class Since:
    """What differs between the runs of a day and those of the test before it."""

    before: RunsOfDay
    after: RunsOfDay
    comparison: Comparison
    end: Closing

    @property
    def headlines(self) -> tuple[Compared, ...]:
        """The split and the speed at the farthest place that was read on both days."""
        found = (_farthest(self.comparison, pair) for pair in _HEADLINES)
        return tuple(row for row in found if row is not None)

    def least(self, row: Compared) -> float | None:
        """The least change of one of the headlines that counts: split and speed are asked together."""
        return least_together(row, sum(one.least is not None for one in self.headlines))

    def changed(self, row: Compared) -> bool:
        """Whether one of the headlines changed, asked together with the other."""
        least = self.least(row)
        if row.change is None or least is None or isinstance(row.difference, NoValue):
            return False
        return abs(row.difference.value) > least

    @property
    def shown(self) -> tuple[Compared, ...]:
        """The headlines, and every other measure that differs."""
        first = self.headlines
        differs = (row for row in self.comparison.rows if row.claim is Claim.DIFFERS and row not in first)
        return (*first, *differs)


@dataclass(frozen=True)
class Season:
    """All of one athlete. ``readings``: of the runs that can be read; ``gates``: times from gates;
    ``bands``: that count for the athlete; ``plans``: the days planned for the athlete, ``drills``: by id;
    ``filmed``: how many reps of the athlete were filmed, by planned day and drill; ``published``: typical
    errors from elsewhere, by measure.
    """

    athlete_id: str
    code: str
    readings: tuple[Reading, ...] = ()
    gates: tuple[GateTime, ...] = ()
    bands: tuple[BandTable, ...] = ()
    plans: tuple[DayPlan, ...] = ()
    drills: Mapping[str, Drill] = field(default_factory=dict)
    filmed: Mapping[tuple[str, str], int] = field(default_factory=dict)
    published: Mapping[str, PublishedError] = field(default_factory=dict)

    @property
    def days(self) -> tuple[RunsOfDay, ...]:
        """The tests: of each day those runs that carried the least load."""
        return tuple(min(alike_groups(day), key=_load) for day in days_of(self.readings))

    @property
    def next_plan(self) -> DayPlan | None:
        """What is planned from the last test on; see ``analysis.plan.coming``."""
        return next_plan(self.plans, self.days[-1].day if self.days else "")

    def since(self, run: Reading) -> Since | None:
        """The day of one of its runs against the latest day before it; see ``since_before``."""
        return since_before(self.readings, run, self.bands, self.published)


class Standing(StrEnum):
    """What can be said of an athlete since the test before."""

    CHANGED = "changed"
    HELD = "no change that can be told"
    UNTOLD = "cannot be told"


def alike_groups(day: RunsOfDay) -> tuple[RunsOfDay, ...]:
    """The runs of a day, parted where their conditions are known to differ."""
    left, found = list(day.runs), []
    while left:
        group = _alike(RunsOfDay(day.day, tuple(left)), left[0])
        found.append(group)
        taken = {id(one) for one in group.runs}
        left = [one for one in left if id(one) not in taken]
    return tuple(found)


def since_before(
    readings: Sequence[Reading],
    like: Reading,
    bands: Sequence[BandTable] = (),
    published: Mapping[str, PublishedError] | None = None,
) -> Since | None:
    """The day of ``like`` against the latest day before it; None where there is none.

    ``readings``: all of the athlete. Of both days those runs count that were made under the conditions of
    ``like``; where no day before has any, the newest stands there all the same, and nothing is compared.
    """
    known = [*(one for one in readings if one.about.run_id != like.about.run_id), like]
    days = {one.day: one for one in days_of(known)}
    day = like.about.conditions.day
    earlier = [one for name, one in sorted(days.items()) if name < day]
    if not day or not earlier:
        return None
    after = _alike(days[day], like)
    alike = (_alike(one, like) for one in reversed(earlier))
    before = next((one for one in alike if one.runs), earlier[-1])
    found = compare(before.runs, after.runs, known, bands=bands, published=published)
    return Since(before, after, found, closing(found, after.runs))


def since_last(season: Season) -> Since | None:
    """The newest test against the one before it; None where there are not two."""
    days = season.days
    return season.since(days[-1].runs[-1]) if days else None


def headline_numbers(day: RunsOfDay) -> tuple[tuple[MeasureKey, Result], ...]:
    """The day's mean split and speed at the farthest place that was read."""
    numbers = [numbers_of(run) for run in day.runs]
    found = []
    for pair in _HEADLINES:
        keys = {
            key
            for run in numbers
            for key, n in run.items()
            if key.measure in pair and isinstance(n, Estimate)
        }
        if keys:
            first = min(pair.index(key.measure) for key in keys)
            mine = [key for key in keys if key.measure == pair[first]]
            key = max(mine, key=lambda key: key.x_m or 0.0)
            found.append((key, mean_of(key, numbers, set_ups_of(day.runs))))
    return tuple(found)


def standing(since: Since | None) -> Standing:
    """What can be said of the athlete, by split and speed at the farthest place."""
    rows = () if since is None else since.headlines
    if since is not None and any(map(since.changed, rows)):
        return Standing.CHANGED
    return Standing.HELD if any(row.least is not None for row in rows) else Standing.UNTOLD


def why_untold(since: Since | None) -> str:
    """Why nothing can be said of the athlete's change."""
    if since is None:
        return tr("There is no earlier test of another day.")
    if differing([*since.before.runs, *since.after.runs]):
        return tr("No earlier test was run under the same conditions.")
    reasons = [row.difference.reason for row in since.headlines if isinstance(row.difference, NoValue)]
    if reasons:
        return reasons[0]
    if not since.headlines:
        return tr("No split and no speed was read on both days.")
    runs = len(since.before.runs), len(since.after.runs)
    words = tr("{before} against {after} runs are too few: film three a day.")
    return words.format(before=runs[0], after=runs[1])


def _load(day: RunsOfDay) -> float:
    return abs(day.runs[0].about.conditions.load_kg or 0.0)


def _alike(day: RunsOfDay, like: Reading) -> RunsOfDay:
    return RunsOfDay(day.day, tuple(one for one in day.runs if not differing([one, like])))


def _farthest(comparison: Comparison, measures: Sequence[str]) -> Compared | None:
    for measure in measures:
        rows = [row for row in comparison.rows if row.key.measure == measure and row.key.x_m is not None]
        there = [row for row in rows if row.claim is not Claim.NOT_COMPARED]
        if there:
            return max(there, key=lambda row: row.key.x_m or 0.0)
    barred = [row for row in comparison.rows if row.key.measure == measures[0]]
    return max(barred, key=lambda row: row.key.x_m or 0.0, default=None)
