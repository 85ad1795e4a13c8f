"""A number over the steps of a run, with its errors: what the rhythm is read from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import Carried, Number
from analysis.steps.places import StepPlaces
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue
from analysis.values.film import FrameNumber
from analysis.values.run import Side

RISES = {"contact_s": False, "flight_s": True, "step_length_m": True, "step_velocity_m_s": True}
"""Over the first steps contact time falls; flight time, step length and step velocity rise (docs/measures.md,
Rhythm)."""


@dataclass(frozen=True, eq=False)
class StepSeries:
    """One measure, one entry a step. ``frames``: what each entry rests on."""

    measure: str
    steps: tuple[int, ...]
    sides: tuple[Side, ...]
    values: tuple[Number, ...]
    frames: tuple[tuple[FrameNumber, ...], ...]

    @property
    def rises(self) -> bool:
        """Which way it goes over the first steps."""
        return RISES[self.measure]

    def differences(self) -> list[Number]:
        """Every step's value less that of the step before; errors that both share have gone."""
        return [_less(two, one) for one, two in pairwise(self.values)]

    def change_frames(self, place: int) -> tuple[FrameNumber, ...]:
        """What the change from the step at a place to the next one rests on."""
        return tuple(dict.fromkeys((*self.frames[place], *self.frames[place + 1])))

    def known(self) -> Known:
        """The steps that have a number."""
        there = [n for n, v in enumerate(self.values) if not isinstance(v, NoValue)]
        return Known(
            np.array([self.steps[n] for n in there], dtype=np.float64),
            np.array([1.0 if self.sides[n] is Side.LEFT else -1.0 for n in there]),
            tuple(v for v in self.values if not isinstance(v, NoValue)),
        )


@dataclass(frozen=True, eq=False)
class Known:
    """Those entries of a series that have a number; ``left``: 1 for the left foot's, -1 for the right's."""

    steps: npt.NDArray[np.float64]
    left: npt.NDArray[np.float64]
    values: tuple[Carried, ...]

    def without(self, place: int) -> Known:
        """The same without one entry."""
        kept = np.arange(len(self.steps)) != place
        values = tuple(v for n, v in enumerate(self.values) if n != place)
        return Known(self.steps[kept], self.left[kept], values)


def step_series(steps: Sequence[StepTimes], places: StepPlaces) -> tuple[StepSeries, ...]:
    """Contact, flight, length and velocity of the steps."""
    number = tuple(s.step for s in steps)
    sides = tuple(s.footfall.side for s in steps)
    contacts = tuple(_frames(s.footfall.touchdown, s.footfall.toe_off) for s in steps)
    flights = tuple(_frames(s.footfall.toe_off, _next(s)) for s in steps)
    whole = tuple(_frames(s.footfall.touchdown, _next(s)) for s in steps)
    return (
        StepSeries("contact_s", number, sides, tuple(s.contact for s in steps), contacts),
        StepSeries("flight_s", number, sides, tuple(s.flight for s in steps), flights),
        StepSeries("step_length_m", number, sides, tuple(places.lengths), whole),
        StepSeries("step_velocity_m_s", number, sides, tuple(places.velocities), whole),
    )


def _next(step: StepTimes) -> FrameNumber | None:
    return None if step.following is None else step.following.touchdown


def _frames(*events: FrameNumber | None) -> tuple[FrameNumber, ...]:
    return tuple(event for event in events if event is not None)


def _less(one: Number, other: Number) -> Number:
    if isinstance(other, NoValue):
        return other
    return one if isinstance(one, NoValue) else one - other
