"""``read_drill``: everything that a film of a drill says, repetition by repetition. Pure, like ``read``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from analysis.body.posture_measures import Measure, Measured, MissingPoints
from analysis.ground.carried import Number, combine, normal, result
from analysis.reading.drills.jump import jump_measures
from analysis.reading.drills.loads import Load, load_of, speed_losses
from analysis.reading.drills.throw import throw_measures
from analysis.reading.drills.whole import Whole, whole_of
from analysis.reading.numbers import numbers_of
from analysis.reading.read import read
from analysis.values.comparison import MeasureKey
from analysis.values.drill_film import DrillEvent, DrillFilm, DrillKind, DrillRep
from analysis.values.estimate import NoValue, Result
from analysis.values.evidence import Evidence
from analysis.values.reading import Reading
from analysis.values.run import Run, StartPush

Wanted = tuple[tuple[int, str], ...]
"""(frame, point) of points that would give a number; one click each."""


@dataclass(frozen=True, eq=False)
class RepReading:
    """One repetition. ``numbers``: with their errors, so that what two share cancels between them.

    ``frames``: what a number rests on. ``wanted``: the points that it lacks. ``sprint``: the reading of its
    steps, of a start or a run.
    """

    rep: DrillRep
    numbers: Mapping[MeasureKey, Number]
    notes: tuple[str, ...] = ()
    frames: Mapping[MeasureKey, tuple[int, ...]] = field(default_factory=dict)
    wanted: Wanted = ()
    sprint: Reading | None = None

    def result(self, key: MeasureKey) -> Result | None:
        """A number as it is shown; None where the repetition has no such measure."""
        number = self.numbers.get(key)
        return None if number is None else result(number)


@dataclass(frozen=True, eq=False)
class DrillReading:
    """All repetitions of a film, in order of set and number."""

    film: DrillFilm
    reps: tuple[RepReading, ...]
    load: Load | None = None


def read_drill(film: DrillFilm, evidence: Evidence, unloaded: Sequence[Reading] = ()) -> DrillReading:
    """What a film of a drill says. Never raises for marking that is incomplete: a number that can't be had is
    a ``NoValue`` with a sentence. ``unloaded``: the same day's sprints without a load, for runs with one.
    """
    if film.kind in (DrillKind.START, DrillKind.RUN):
        reps = [_sprinted(film.kind, rep, evidence, unloaded) for rep in film.reps]
    else:
        whole = whole_of(evidence)
        reps = [_thrown_or_jumped(film.kind, rep, whole) for rep in film.reps]
    load = load_of(evidence.run, evidence.athlete)
    return DrillReading(film, tuple(sorted(reps, key=lambda one: one.rep.place)), load)


def rep_run(run: Run, rep: DrillRep) -> Run:
    """A repetition as a run of its own: what is marked within its stretch. A push-off tagged in it is that of
    the front foot, and the frame after the set position its first movement, where the run has none there.
    """
    start = run.start
    kept = {
        name: frame
        for name in ("first_movement", "rear_toe_off", "front_toe_off")
        if (frame := getattr(start, name)) is not None and rep.holds(frame)
    }
    still, off = rep.frame_of(DrillEvent.SET), rep.frame_of(DrillEvent.PUSH_OFF)
    if still is not None:
        kept.setdefault("first_movement", type(still)(still + 1))
    if off is not None:
        kept.setdefault("front_toe_off", off)
    return replace(
        run,
        first_frame=rep.first,
        last_frame=rep.last,
        start=StartPush(**kept, front_side=start.front_side),
        footfalls=tuple(f for f in run.footfalls if rep.holds(f.first_frame)),
        points=tuple(p for p in run.points if rep.holds(p.frame)),
        lines=tuple(line for line in run.lines if rep.holds(line.frame)),
    )


def _thrown_or_jumped(kind: DrillKind, rep: DrillRep, whole: Whole) -> RepReading:
    notes: list[str] = []
    if kind is DrillKind.THROW:
        measures, notes = throw_measures(whole, rep)
    else:
        measures = jump_measures(whole, rep)
    wanted = [p for m in measures.values() if isinstance(m, MissingPoints) for p in m.points]
    return RepReading(
        rep,
        {key: _number(measure) for key, measure in measures.items()},
        tuple(notes),
        {key: m.frames for key, m in measures.items() if isinstance(m, Measured)},
        tuple(dict.fromkeys(wanted)),
    )


def _number(measure: Measure) -> Number:
    return measure if isinstance(measure, NoValue) else measure.value


def _sprinted(kind: DrillKind, rep: DrillRep, evidence: Evidence, unloaded: Sequence[Reading]) -> RepReading:
    """A start or a run, read as every run is."""
    reading = read(replace(evidence, run=rep_run(evidence.run, rep)))
    asked = {
        key: number for key, number in numbers_of(reading).items() if kind is DrillKind.RUN or key.step == 0
    }
    if evidence.run.conditions.load_kg and kind is DrillKind.RUN:
        asked |= speed_losses(reading, unloaded)
    wanted = [point for row in reading.posture if row.step == 0 for point in row.wanted]
    return RepReading(
        rep,
        {key: _carried(number) for key, number in asked.items()},
        reading.notes,
        wanted=tuple(dict.fromkeys((int(frame), name) for frame, name in wanted)),
        sprint=reading,
    )


def _carried(number: Result) -> Number:
    """A number of a reading with an error of its own: what it shares with others is not known any more."""
    if isinstance(number, NoValue):
        return number
    return combine(number.value, {normal(number.half_width / 1.959964): 1.0})
