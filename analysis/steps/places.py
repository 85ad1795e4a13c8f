"""Lengths and speeds of the steps, from shoes and hips."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from analysis.ground.carried import Number
from analysis.ground.place import HipTrack
from analysis.ground.quotient import quotient
from analysis.steps.hips import hip_at, step_velocity
from analysis.steps.shoes import step_length
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue, Result
from analysis.values.words import tr


@dataclass(frozen=True)
class StepPlaces:
    """Per step, m and m/s: place of its shoe, hip centre at its touchdown, step length, velocity,
    velocity gained against the step before, foot-to-foot speed.
    """

    shoes: list[Number]
    hips: list[Number]
    lengths: list[Number]
    velocities: list[Number]
    gained: list[Number]
    foot_to_foot: list[Result]


def step_places(steps: tuple[StepTimes, ...], shoes: list[Number], track: HipTrack | NoValue) -> StepPlaces:
    """Lengths and speeds of the steps from shoes and hips."""
    hips = [NoValue(s.broken) if s.broken else hip_at(track, s.touchdown) for s in steps]
    last = len(steps) - 1
    lengths = [step_length(s, shoes[n], shoes[n + 1] if n < last else None) for n, s in enumerate(steps)]
    velocities = [
        step_velocity(s, hips[n], hips[n + 1]) if n < last else _of(s.step_time) for n, s in enumerate(steps)
    ]
    return StepPlaces(
        shoes,
        hips,
        lengths,
        velocities,
        _gained(velocities),
        [quotient(a, s.step_time) for a, s in zip(lengths, steps, strict=True)],
    )


def _gained(velocities: list[Number]) -> list[Number]:
    """Velocity of each step less that of the step before, errors that both share cancelled."""
    found: list[Number] = [NoValue(tr("There is no step before it."))] if velocities else []
    for before, now in pairwise(velocities):
        if isinstance(now, NoValue) or isinstance(before, NoValue):
            found.append(now if isinstance(now, NoValue) else before)
        else:
            found.append(now - before)
    return found


def _of(number: Number) -> NoValue:
    """The reason why the last step has no velocity."""
    return number if isinstance(number, NoValue) else NoValue(tr("There is no next touchdown."))
