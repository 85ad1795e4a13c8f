"""A drill: what it is for, how it is set up, how much of it, what to look for, who leaves it out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from analysis.values.errors import PlanError
from analysis.values.questions import Question
from analysis.values.words import tr


class Block(StrEnum):
    """A part of a day; the order is the day's."""

    FOUNDATION = "foundation"
    TARGETED = "targeted"
    SPRINT = "sprint"


class Part(StrEnum):
    """What of an acceleration a drill holds."""

    STANDSTILL = "from a standstill"
    SPLIT_STANCE = "split stance"
    PUSH = "horizontal push"
    SWAP = "leg swap"
    STRIKE = "quick strike"


class RestAfter(StrEnum):
    """After what the rest comes."""

    SET = "set"
    REP = "rep"


@dataclass(frozen=True)
class Span:
    """From ``least`` to ``most``, both included."""

    least: float
    most: float

    @property
    def middle(self) -> float:
        """Half-way."""
        return (self.least + self.most) / 2

    def holds(self, value: float) -> bool:
        """Whether a value lies inside."""
        return self.least <= value <= self.most


@dataclass(frozen=True)
class Dose:
    """How much: sets, repetitions, rest, load in words; ``source`` says where the ranges are from."""

    sets: Span
    reps: Span
    rest_s: Span
    rest_after: RestAfter
    load: str
    source: str


@dataclass(frozen=True)
class Drill:
    """One drill, in words for a coach.

    ``questions``: which questions it serves, the first one most. ``rep_s``: how long one repetition takes,
    the way back included. ``sprint_m``: metres run flat out in one repetition. ``defer``: who leaves it out
    until a licensed practitioner agrees. ``experienced``: for experienced athletes; no proposal names it.
    ``own``: the coach wrote or changed it.

    Raises PlanError where a dose or a length can't be.
    """

    id: str
    name: str
    blocks: tuple[Block, ...]
    questions: tuple[Question, ...]
    parts: tuple[Part, ...]
    purpose: str
    set_up: str
    dose: Dose
    rep_s: float
    sprint_m: float
    look_for: tuple[str, ...]
    faults: tuple[str, ...]
    easier: str
    harder: str
    cautions: tuple[str, ...]
    defer: str
    experienced: bool = False
    own: bool = False

    def __post_init__(self) -> None:
        spans = (self.dose.sets, self.dose.reps, self.dose.rest_s)
        if not self.name.strip() or not self.blocks:
            raise PlanError(tr("A drill needs a name, and a block of the day that it may stand in."))
        if any(not 0 <= span.least <= span.most < math.inf for span in spans) or self.dose.sets.least < 1:
            raise PlanError(
                tr(
                    "The dose of {drill} can't be: each range goes from less to more, with a set at least."
                ).format(drill=self.name)
            )
        if self.dose.reps.least < 1 or not 0 < self.rep_s < math.inf or not 0 <= self.sprint_m < math.inf:
            raise PlanError(
                tr("{drill} needs a repetition at least, and the seconds that one takes.").format(
                    drill=self.name
                )
            )
