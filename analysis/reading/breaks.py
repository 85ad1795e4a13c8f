"""Steps against the direction of the numbers, as comparisons that are judged with all others of the run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from analysis.ground.carried import result
from analysis.reading.pairs import against, read_pairs
from analysis.reading.rhythm import SideCandidate, course, side_difference, without_side
from analysis.reading.series import StepSeries
from analysis.reading.telling import estimate_p, holm, p_value
from analysis.values.answers import Break, Course, Rhythm, SideDifference, Way
from analysis.values.estimate import Estimate, NoValue
from analysis.values.reading import PairReading


@dataclass(frozen=True, eq=False)
class RhythmCandidates:
    """What may stand out in the rhythm. ``pairs``: (series, place of the first step) of every difference;
    ``p``: of pairs, then of sides, then of courses. ``shown``: the pairs as a reading shows them.
    """

    shown: tuple[PairReading, ...]
    pairs: tuple[tuple[StepSeries, int], ...]
    sides: tuple[SideCandidate, ...]
    courses: tuple[Course, ...]
    p: tuple[float, ...]


def rhythm_candidates(series: Sequence[StepSeries]) -> RhythmCandidates:
    """Every difference from step to step and every number over all steps, one-sided against the direction,
    and every side difference.
    """
    pairs: list[tuple[StepSeries, int]] = []
    p: list[float] = []
    for of in series:
        for place, difference in enumerate(of.differences()):
            if not isinstance(difference, NoValue):
                pairs.append((of, place))
                p.append(p_value(difference) / 2 if against(of, difference) else 1.0)
    sides = tuple(map(side_difference, series))
    there = tuple(s for s in sides if not isinstance(s.difference, NoValue))
    p += [p_value(s.difference) if s.steady else 1.0 for s in there if not isinstance(s.difference, NoValue)]
    courses = tuple(map(course, series))
    p += [_wrong_way_p(one) for one in courses]
    return RhythmCandidates(read_pairs(series), tuple(pairs), there, courses, tuple(p))


def _wrong_way_p(one: Course) -> float:
    """How likely so much in the wrong direction is by the errors alone; 1 for the right one."""
    if one.way is not Way.WRONG or not isinstance(one.change, Estimate):
        return 1.0
    return estimate_p(one.change) / 2


def rhythm_of(candidates: RhythmCandidates, told: Sequence[bool]) -> Rhythm:
    """The breaks and side differences that stand. ``told``: one entry for each of ``candidates.p``.

    A break is a pair that can be told apart at all. What a difference between the feet explains is no break
    beside it.
    """
    apart = {(p.measure, p.first_step): p.difference for p in candidates.shown if p.told_apart}
    count = len(candidates.pairs)
    of_sides, of_courses = told[count : count + len(candidates.sides)], told[count + len(candidates.sides) :]
    sided = [s for s, stands in zip(candidates.sides, of_sides, strict=True) if stands]
    explained = {s.series.measure: _explained(s) for s in sided}
    breaks = []
    for (series, place), stands in zip(candidates.pairs, told[:count], strict=True):
        first, second = series.steps[place : place + 2]
        difference = apart.get((series.measure, first))
        if stands and difference is not None and place not in explained.get(series.measure, set()):
            breaks.append(Break(series.measure, first, second, difference, series.change_frames(place)))
    shown = tuple(
        SideDifference(
            s.series.measure,
            result(s.difference),
            stands,
            tuple(dict.fromkeys(f for frames in s.series.frames for f in frames)),
        )
        for s, stands in zip(candidates.sides, of_sides, strict=True)
    )
    courses = tuple(
        replace(one, departs=stands) for one, stands in zip(candidates.courses, of_courses, strict=True)
    )
    return Rhythm(tuple(breaks), shown, courses)


def _explained(side: SideCandidate) -> set[int]:
    """The places at which nothing stands against the direction once the side difference is taken out."""
    assert not isinstance(side.difference, NoValue)
    rest = without_side(side.series, side.difference)
    p = [1.0 if isinstance(d, NoValue) or not against(side.series, d) else p_value(d) / 2 for d in rest]
    return {place for place, stands in enumerate(holm(p)) if not stands}
