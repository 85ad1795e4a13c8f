"""What the rhythm chart shows, as values: one choice of numbers by step, each beside the step before."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.report.shifts import CONTACT, FLIGHT, shifts_of
from analysis.report.words import METRES, METRES_PER_SECOND, MILLISECONDS, Unit, side_word, spoken
from analysis.values.estimate import Estimate
from analysis.values.reading import Reading, StepReading
from analysis.values.run import Side
from analysis.values.words import tr


@dataclass(frozen=True)
class RhythmChoice:
    """What the chart shows at once. ``measures``: fields of a step and their words, the first filled."""

    title: str
    name: str
    measures: tuple[tuple[str, str], ...]
    unit: Unit
    lacking: str


TIMES = RhythmChoice(
    tr("Contact and flight"),
    tr("Rhythm: contact and flight time by step"),
    ((CONTACT, tr("contact")), (FLIGHT, tr("flight"))),
    MILLISECONDS,
    tr("Mark two footfalls to see contact and flight time by step."),
)
LENGTH = RhythmChoice(
    tr("Step length"),
    tr("Rhythm: step length by step"),
    (("step_length_m", tr("step length")),),
    METRES,
    tr("Mark two things of known distance to see the length of each step."),
)
VELOCITY = RhythmChoice(
    tr("Step velocity"),
    tr("Rhythm: step velocity by step"),
    (("step_velocity_m_s", tr("step velocity")),),
    METRES_PER_SECOND,
    tr("Mark two things of known distance to see the velocity of each step."),
)
CHOICES = (TIMES, LENGTH, VELOCITY)


@dataclass(frozen=True)
class RhythmPoint:
    """One number of a step on the chart. ``frame``: where it begins on the film; ``shift``: how it stands to
    the step before, in a sentence; ``told``: false where it can't be told apart from that; ``breaks``: it
    ends a break of the rhythm.
    """

    step: int
    side: Side
    measure: str
    number: Estimate
    frame: int | None
    unit: Unit = MILLISECONDS
    shift: str = ""
    told: bool = True
    breaks: bool = False

    @property
    def words(self) -> str:
        """The point as a sentence."""
        name = tr("Step {step}, {side}, {measure}").format(
            step=self.step, side=side_word(self.side), measure=self.measure
        )
        broken = tr("A break of the rhythm.") if self.breaks else ""
        said = ". ".join(filter(None, (spoken(name, self.number, self.unit), self.shift)))
        return " ".join(filter(None, (said, broken)))

    @property
    def shown(self) -> Estimate:
        """The number in the unit of the chart."""
        return self.number.scaled(self.unit.factor)


def rhythm_points(reading: Reading | None, choice: RhythmChoice = TIMES) -> tuple[RhythmPoint, ...]:
    """Every number of the choice that could be read, step by step."""
    if reading is None:
        return ()
    shifts = shifts_of(reading)
    broken = {(one.measure, one.second_step) for one in reading.rhythm.breaks}
    out: list[RhythmPoint] = []
    for step in reading.steps:
        for field, word in choice.measures:
            number, key = getattr(step, field), (field, step.step)
            if not isinstance(number, Estimate):
                continue
            shift = shifts.get(key)
            words, told = ("", True) if shift is None else (shift.sentence, shift.told_apart)
            frame = step.toe_off if field == FLIGHT else step.touchdown
            at = None if frame is None else int(frame)
            out.append(
                RhythmPoint(step.step, step.side, word, number, at, choice.unit, words, told, key in broken)
            )
    return tuple(out)


def columns(steps: tuple[StepReading, ...]) -> tuple[list[int], list[float]]:
    """Frames and the steps' columns on which the playhead stands there; on the last one until its toe-off."""
    places = [(int(step.touchdown), float(step.step)) for step in steps if step.touchdown is not None]
    if steps and steps[-1].touchdown is not None and steps[-1].toe_off is not None:
        places.append((int(steps[-1].toe_off), float(steps[-1].step)))
    return [frame for frame, _ in places], [column for _, column in places]
