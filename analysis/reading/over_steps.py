"""What the rhythm says over all steps, as rows: the way of each number, and left less right."""

from __future__ import annotations

from functools import cache

from analysis.reading import wording
from analysis.reading.series import RISES
from analysis.values.answers import Course, Judged, Rhythm, SideDifference, Way
from analysis.values.bands import Band
from analysis.values.estimate import Estimate
from analysis.values.measures import ASKED
from analysis.values.posture import Moment
from analysis.values.questions import Question, Verdict
from analysis.values.words import tr

_VERDICTS = {
    Way.RIGHT: Verdict.INSIDE,
    Way.WRONG: Verdict.UNTOLD,  # told for itself alone, and not among all comparisons of the run
    Way.UNTOLD: Verdict.UNTOLD,
    Way.NOT_JUDGED: Verdict.NOT_JUDGED,
}
_MOMENTS = {asked.measure: asked.moment for asked in reversed(ASKED[Question.RHYTHM])}


def over_steps(rhythm: Rhythm) -> tuple[Judged, ...]:
    """A row for each number's way, by a step, and one for each difference between the feet."""
    return (*map(_course, rhythm.courses), *map(_side, rhythm.sides))


@cache
def direction_band(measure: str, moment: Moment, step: int, *, rises: bool) -> Band:
    """What a change to a step is held against: 0, above or below which it goes the right way."""
    low, high = (0.0, None) if rises else (None, 0.0)
    return Band(measure, moment, step, step, low, high, tr("direction over the first steps"))


def _course(one: Course) -> Judged:
    moment = _MOMENTS[one.measure]
    measure = f"by_step_{one.measure}"
    band = direction_band(measure, moment, 0, rises=RISES[one.measure])
    value = one.change.value if isinstance(one.change, Estimate) else 0.0
    return Judged(
        measure,
        moment,
        0,
        None,
        tr("{name} over all steps, by a step").format(name=wording.series_name(one.measure)),
        one.change,
        one.frames,
        band,
        band.source,
        Verdict.OUTSIDE if one.departs else _VERDICTS[one.way],
        band.beyond(value),
    )


def _side(one: SideDifference) -> Judged:
    return Judged(
        f"left_less_right_{one.measure}",
        _MOMENTS[one.measure],
        0,
        None,
        tr("{name}, left less right").format(name=wording.series_name(one.measure)),
        one.difference,
        one.frames,
        None,
        "",
        Verdict.OUTSIDE if one.told else Verdict.UNTOLD,
    )
