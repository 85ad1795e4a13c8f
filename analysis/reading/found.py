"""Every measure that the questions ask, by name, moment and step, with the frames that it rests on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from analysis.reading.series import StepSeries
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue, Result
from analysis.values.film import FrameNumber
from analysis.values.posture import Moment, PostureReading, Wanted
from analysis.values.reading import StartReading
from analysis.values.run import Side, StartPush
from analysis.values.words import tr

Place = tuple[str, Moment, int]


class Found(NamedTuple):
    """One number of a reading, or why there is none."""

    step: int
    side: Side | None
    result: Result
    frames: tuple[FrameNumber, ...]
    wanted: Wanted = ()
    closer: Wanted = ()


FoundBy = dict[tuple[str, Moment], list[Found]]
"""By measure and moment, in order of the steps."""


def found_measures(
    asked: Collection[tuple[str, Moment]],
    rows: Iterable[PostureReading],
    start: StartReading,
    push: StartPush,
    steps: Sequence[StepTimes],
    contacts: StepSeries,
    shown_contacts: Sequence[Result],
    wrong_legs: frozenset[FrameNumber],
) -> FoundBy:
    """What a reading holds of what is ``asked``: posture, the push and the contacts. Posture that rests on a
    frame of ``wrong_legs`` is not judged: a leg placed as the other one looks like a fault of the athlete.
    """
    by: defaultdict[tuple[str, Moment], list[Found]] = defaultdict(list)
    for row in rows:
        if (row.measure, row.moment) not in asked:
            continue
        number = _unless_wrong(row, wrong_legs) if wrong_legs else row.result
        by[row.measure, row.moment].append(
            Found(row.step, row.side, number, row.frames, row.wanted, row.closer)
        )
    for name, off, number in (
        ("rear_foot_push_s", push.rear_toe_off, start.rear_foot_push_s),
        ("front_foot_push_s", push.front_toe_off, start.front_foot_push_s),
    ):
        frames = tuple(f for f in (push.first_movement, off) if f is not None)
        by[name, Moment.PUSH].append(Found(0, None, number, frames))
    for step, number, frames in zip(steps, shown_contacts, contacts.frames, strict=True):
        by["contact_s", Moment.TOE_OFF].append(Found(step.step, step.footfall.side, number, frames))
    for several in by.values():
        several.sort(key=lambda one: (one.step, one.side or ""))
    return dict(by)


def _unless_wrong(row: PostureReading, wrong_legs: frozenset[FrameNumber]) -> Result:
    if wrong_legs.isdisjoint(row.frames) or isinstance(row.result, NoValue):
        return row.result
    words = tr(
        "On frame {frame} a leg has an unlikely length, or left and right are changed over. Look at its "
        "points: nothing is judged from them as they are."
    )
    return NoValue(words.format(frame=min(wrong_legs.intersection(row.frames))))
