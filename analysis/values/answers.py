"""What a run says to the four questions, and where it began."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from analysis.values.bands import Band
from analysis.values.estimate import Result
from analysis.values.film import FrameNumber
from analysis.values.posture import Moment, Wanted
from analysis.values.questions import Overruling, Question, Verdict
from analysis.values.run import Side

Frames = tuple[FrameNumber, ...]


def together(several: Iterable[Frames]) -> Frames:
    """All of these frames, each once, rising."""
    return tuple(sorted({frame for some in several for frame in some}))


class Judged(NamedTuple):
    """One measure of a question beside its band.

    ``name``: in words. ``step``: 0 for the start push; in the rhythm the step to which a change leads.
    ``frames``: what the number rests on. ``band``: None where none counts, and ``source`` says who set it.
    ``beyond``: how far the value lies above the band (positive) or below it (negative), in its unit.
    ``wanted``: where there is no number, the points that would give it. ``closer``: see PostureReading.
    """

    measure: str
    moment: Moment
    step: int
    side: Side | None
    name: str
    result: Result
    frames: Frames
    band: Band | None
    source: str
    verdict: Verdict
    beyond: float = 0.0
    wanted: Wanted = ()
    closer: Wanted = ()


@dataclass(frozen=True)
class Departure:
    """Something that can be told to lie outside its band, or against the direction of the numbers.

    ``sentence``: in words with its numbers and bands. ``frames``: those that it rests on. ``plain``: for the
    athlete, in plain words with its numbers and no band.
    """

    question: Question
    sentence: str
    steps: tuple[int, ...]
    frames: Frames
    plain: str = ""


@dataclass(frozen=True)
class Answer:
    """What a run says to one question.

    ``frames``: what the answer rests on: those of its departures, where there is none of what cannot be told,
    and where that is none of all that was judged. ``measures``: every measure of the question, those without
    a number or a band too. ``beside``: a sentence that is no verdict; empty where there is none.
    ``over_steps``: what is judged by its direction or by its side alone, and clears nothing: of the strike
    how much farther in front the foot lands than on the step before, of the rhythm each number over all steps
    and left less right.
    """

    question: Question
    verdict: Verdict
    sentence: str
    measures: tuple[Judged, ...]
    departures: tuple[Departure, ...]
    frames: Frames
    beside: str = ""
    over_steps: tuple[Judged, ...] = ()


class Way(StrEnum):
    """Which way a number goes over the steps of a run."""

    RIGHT = "the right way"
    WRONG = "the wrong way"
    UNTOLD = "cannot be told"
    NOT_JUDGED = "not judged"


@dataclass(frozen=True)
class Break:
    """A step against the direction of the numbers; ``difference``: of the second step less the first."""

    measure: str
    first_step: int
    second_step: int
    difference: Result
    frames: Frames


@dataclass(frozen=True)
class SideDifference:
    """Left less right, where the two alternate through the run; ``told``: it can be told."""

    measure: str
    difference: Result
    told: bool
    frames: Frames


@dataclass(frozen=True)
class Course:
    """A number over the steps of a run.

    ``change``: by a step, from a straight line through them. ``ragged_s``: root mean square distance from the
    nearest series that keeps the direction, s, for durations with three steps and more, else None;
    ``chance_s``: what errors of measuring alone stay below in 95 of 100 such runs. ``departs``: it goes the
    wrong way as a whole, judged with all comparisons of the run. ``frames``: what it rests on.
    """

    measure: str
    way: Way
    change: Result
    ragged_s: float | None = None
    chance_s: float | None = None
    departs: bool = False
    frames: Frames = ()

    @property
    def ragged(self) -> bool:
        """Whether it is more ragged than chance alone would make it."""
        return self.ragged_s is not None and self.chance_s is not None and self.ragged_s > self.chance_s


@dataclass(frozen=True)
class Rhythm:
    """How the numbers walk: breaks and side differences that can be told, and the course of each number."""

    breaks: tuple[Break, ...]
    sides: tuple[SideDifference, ...]
    courses: tuple[Course, ...]


@dataclass(frozen=True)
class Settling:
    """What would change or settle a reading, in words; ``wanted``: the points to place, one click each."""

    question: Question
    sentence: str
    wanted: Wanted = ()

    @property
    def clicks(self) -> int:
        """How many clicks that costs."""
        return len(self.wanted)


class Unsaid(StrEnum):
    """What nobody said of a run though the starting bands hang on it."""

    AGE = "age group"
    STANCE = "start stance"


@dataclass(frozen=True)
class InPart:
    """A question that was judged though a measure of it that has a band could be read at no step, so that it
    is not cleared; ``without``: the names of such measures, within a sentence.
    """

    question: Question
    without: tuple[str, ...]


@dataclass(frozen=True)
class FirstCause:
    """Where it began, as far as the pictures tell. A reading of pictures, not a diagnosis.

    ``question``: None where no departure can be told. ``first_readable``: an earlier question could not be
    judged, or not without one of its measures, so it may have begun there. ``following``: later departures,
    which may follow from it. ``unread``: questions that were not judged. ``coach``: the coach's own word
    against it, kept beside it. ``unsaid``: what was taken for granted so that the starting bands could count.
    ``in_part``: questions in which nothing departs and that were judged without one of their measures.
    """

    question: Question | None
    first_readable: bool
    sentence: str
    departures: tuple[Departure, ...]
    following: tuple[Departure, ...]
    unread: tuple[Question, ...]
    would_change: tuple[Settling, ...]
    coach: Overruling | None = None
    unsaid: tuple[Unsaid, ...] = ()
    in_part: tuple[InPart, ...] = ()
