"""How a measure goes within a set, repetition by repetition, and across the sets of a day."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from analysis.ground.carried import Carried, Number, result, weighed
from analysis.reading.change import least_beyond, pooled_spread
from analysis.reading.drills.rep import DrillReading, RepReading
from analysis.reading.drills.throw import GRAVITY
from analysis.reading.telling import told_apart
from analysis.values.comparison import MeasureKey
from analysis.values.drill_film import DrillKind
from analysis.values.estimate import NoValue, Result
from analysis.values.words import tr

BEST_BY: Mapping[DrillKind, tuple[str, ...]] = {
    DrillKind.THROW: ("release_speed_m_s",),
    DrillKind.JUMP: ("jump_distance_m", "jump_flight_s"),
    DrillKind.START: (),
    DrillKind.RUN: ("local_m_s", "model_m_s", "step_velocity_m_s"),
}
"""The measure whose largest value makes a repetition the best one: the first that at least two have."""


@dataclass(frozen=True)
class Told:
    """A number, and its difference from the first of the row.

    ``told``: the two can be told apart, at 5 % over the whole view together (Holm 1979). ``count``: of how
    many repetitions it is the mean. ``least``: how large a difference of means must be to lie beyond the
    spread from repetition to repetition as well; None where too few were filmed to say.
    """

    number: Result
    difference: Result | None = None
    told: bool = False
    count: int = 1
    least: float | None = None

    @property
    def beyond(self) -> bool:
        """Whether the difference is beyond errors of measuring and beyond the spread between repetitions."""
        there = self.difference is not None and not isinstance(self.difference, NoValue)
        return (
            self.told and self.least is not None and there and abs(self.difference.value) > self.least  # type: ignore[union-attr]
        )


@dataclass(frozen=True)
class SetTable:
    """``heads``: (set, rep) of each column, the rep 0 for the whole set. ``rows``: a measure each."""

    heads: tuple[tuple[int, int], ...]
    rows: Mapping[MeasureKey, tuple[Told, ...]]


def sets_of(readings: Iterable[DrillReading]) -> dict[int, list[RepReading]]:
    """The repetitions of each set, over all films, in order."""
    found: dict[int, list[RepReading]] = {}
    for one in sorted((rep for reading in readings for rep in reading.reps), key=lambda r: r.rep.place):
        found.setdefault(one.rep.set_number, []).append(one)
    return dict(sorted(found.items()))


def within_set(readings: Sequence[DrillReading], set_number: int) -> SetTable:
    """Each measure of each repetition of a set, against the set's first that has it."""
    reps = sets_of(readings).get(set_number, [])
    rows = {key: [rep.numbers.get(key, _none()) for rep in reps] for key in _keys(reps)}
    heads = tuple((rep.rep.set_number, rep.rep.number) for rep in reps)
    return _told(heads, rows, {key: [(1, None)] * len(reps) for key in rows})


def across_sets(readings: Sequence[DrillReading]) -> SetTable:
    """The mean of each measure over each set, against the first set that has it."""
    sets = sets_of(readings)
    keys = _keys([rep for reps in sets.values() for rep in reps])
    rows: dict[MeasureKey, list[Number]] = {}
    more: dict[MeasureKey, list[tuple[int, float | None]]] = {}
    for key in keys:
        each = [_there(reps, key) for reps in sets.values()]
        rows[key] = [_mean(found) if found else _none() for found in each]
        more[key] = _leasts(each)
    return _told(tuple((number, 0) for number in sets), rows, more)


def best_rep(readings: Sequence[DrillReading]) -> RepReading | None:
    """The repetition with the largest speed or distance; None where fewer than two have one."""
    if not readings:
        return None
    reps = [rep for reading in readings for rep in reading.reps]
    for name in BEST_BY[readings[0].film.kind]:
        found = {id(rep): _largest(rep, name) for rep in reps}
        there = [rep for rep in reps if found[id(rep)] is not None]
        if len(there) > 1:
            return max(there, key=lambda rep: found[id(rep)] or -math.inf)
    return None


def _largest(rep: RepReading, name: str) -> float | None:
    values = [
        float(number.nominal_value)
        for key, number in rep.numbers.items()
        if key.measure == name and not isinstance(number, NoValue)
    ]
    return max(values, default=None)


def _none() -> NoValue:
    return NoValue(tr("This rep has no such measure."))


def _keys(reps: Sequence[RepReading]) -> list[MeasureKey]:
    """What is compared: all but the check of the scale, which says nothing of the athlete."""
    keys = dict.fromkeys(key for rep in reps for key in rep.numbers)
    return [key for key in keys if key != GRAVITY]


def _there(reps: Sequence[RepReading], key: MeasureKey) -> list[Carried]:
    found = (rep.numbers.get(key) for rep in reps)
    return [number for number in found if number is not None and not isinstance(number, NoValue)]


def _mean(numbers: Sequence[Carried]) -> Carried:
    return weighed([1.0 / len(numbers)] * len(numbers), numbers)


def _leasts(sets: Sequence[Sequence[Carried]]) -> list[tuple[int, float | None]]:
    """How many repetitions each set has, and the least difference from the first that is beyond their spread:
    the typical error pooled over the sets, at least the error of measuring that they do not share.
    """
    spread = pooled_spread([[float(n.nominal_value) for n in one] for one in sets])
    first = next((one for one in sets if one), ())
    own = _own_u([one for one in sets if len(one) > 1])
    return [(len(one), None if not one else least_beyond(spread, own, len(first), len(one))) for one in sets]


def _own_u(sets: Sequence[Sequence[Carried]]) -> float:
    """Standard uncertainty of one repetition that the others of its set do not share."""
    squares = [
        float((number - _mean(one)).std_dev) ** 2 * len(one) / (len(one) - 1)
        for one in sets
        for number in one
    ]
    return math.sqrt(float(np.mean(squares))) if squares else 0.0


def _told(
    heads: tuple[tuple[int, int], ...],
    rows: Mapping[MeasureKey, Sequence[Number]],
    more: Mapping[MeasureKey, Sequence[tuple[int, float | None]]],
) -> SetTable:
    """Every number of a table against the first of its row, all of them judged together."""
    asked: list[tuple[MeasureKey, int, Carried]] = []
    for key, numbers in rows.items():
        there = [(n, number) for n, number in enumerate(numbers) if not isinstance(number, NoValue)]
        asked += [(key, n, number - there[0][1]) for n, number in there[1:]]
    told = told_apart([difference for _, _, difference in asked])
    said = {(key, n): (d, apart) for (key, n, d), apart in zip(asked, told, strict=True)}
    made: dict[MeasureKey, tuple[Told, ...]] = {}
    for key, numbers in rows.items():
        cells = []
        for n, number in enumerate(numbers):
            difference, apart = said.get((key, n), (None, False))
            count, least = more[key][n]
            shown = None if difference is None else result(difference)
            cells.append(Told(result(number), shown, apart, count, least))
        made[key] = tuple(cells)
    return SetTable(heads, made)
