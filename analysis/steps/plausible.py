"""Questions about numbers that hardly any run shows: they doubt the tags or the frame rate, never the
athlete.

The limits are those of published starts from blocks, widened (Valamatos et al. 2022; Ciacci et al. 2017).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from analysis.ground.carried import Number, estimate
from analysis.steps.doubts import Doubt
from analysis.steps.naming import in_steps
from analysis.steps.table import StartTimes, StepTimes
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.words import tr

SLOW_MOTION_CONTACT_S = 0.4
FIRST_CONTACT_S = (0.14, 0.26)
LATER_CONTACT_S = (0.10, 0.22)
FIRST_FLIGHT_S = (0.02, 0.11)
FREQUENCY_HZ = (3.0, 5.5)
FIRST_STEP_M = (0.4, 1.5)
"""From the start line; the lower limit is own, since a standing start puts the front foot on the line."""
MOST_M_S = 13.0
"""Nobody has run so fast: the fastest reach some 12.3 m/s (from memory)."""
LONGEST_M = 3.0
"""Nobody steps so far at a run: the longest steps at top speed are some 2.7 m (from memory)."""
MANY = 3
"""More steps than this that ask the same are one question: it is hardly each tag that is wrong (own)."""


def outside(number: Number | Result, limits: tuple[float, float]) -> bool:
    """True where the whole 95 % interval lies outside the limits."""
    if isinstance(number, NoValue):
        return False
    shown = number if isinstance(number, Estimate) else estimate(number)
    return bool(shown.high < limits[0] or shown.low > limits[1])


def time_questions(start: StartTimes, steps: Sequence[StepTimes]) -> list[Doubt]:
    """Questions about first flight, contacts and step frequency.

    Where contacts are as long as in slow motion that is the one question. Where more than ``MANY`` steps ask
    the same, they ask it together.
    """
    slow = [
        (s.step, float(s.contact.nominal_value))
        for s in steps
        if not isinstance(s.contact, NoValue) and s.contact.nominal_value > SLOW_MOTION_CONTACT_S
    ]
    if slow:
        return [
            Doubt(
                slow[0][0],
                tr(
                    "The foot of step {step} stays on the ground for {contact:.2f} s. Is this slow motion "
                    "read at its playing rate? Then set the rate at which it was filmed. Or is an event "
                    "tagged on the wrong frame?"
                ).format(step=slow[0][0], contact=slow[0][1]),
            )
        ]
    return [*_first_flight(start.first_flight), *_contacts(steps), *_frequencies(steps)]


def length_questions(
    first_step_length: Number, lengths: Sequence[Number], velocities: Sequence[Number]
) -> list[Doubt]:
    """A question about the scale where steps are longer or faster than anybody's, else one about the first
    step's length. ``lengths``, ``velocities``: of the steps, m and m/s.
    """
    for step, (length, velocity) in enumerate(zip(lengths, velocities, strict=True), start=1):
        if outside(velocity, (-math.inf, MOST_M_S)) and not isinstance(velocity, NoValue):
            size = tr("{value:.1f} m/s").format(value=velocity.nominal_value)
        elif outside(length, (-math.inf, LONGEST_M)) and not isinstance(length, NoValue):
            size = tr("{value:.1f} m").format(value=length.nominal_value)
        else:
            continue
        words = tr(
            "Step {step} comes out at {size}, more than anybody does: are the marks' distances and the frame "
            "rate right?"
        )
        return [Doubt(step, words.format(step=step, size=size))]
    if isinstance(first_step_length, NoValue) or not outside(first_step_length, FIRST_STEP_M):
        return []
    words = tr(
        "Unusual length of the first step, {length:.2f} m up to step 1: are the marks and the shoe's place "
        "right?"
    )
    return [Doubt(1, words.format(length=first_step_length.nominal_value))]


def _first_flight(flight: Number) -> list[Doubt]:
    # below zero both feet are on the ground: that is asked already
    if isinstance(flight, NoValue) or flight.nominal_value < 0 or not outside(flight, FIRST_FLIGHT_S):
        return []
    words = tr(
        "Unusual first flight time, {ms:.0f} ms up to step 1: are the front foot's toe-off and the first "
        "touchdown on the right frames?"
    )
    return [Doubt(1, words.format(ms=1000 * flight.nominal_value))]


def _contacts(steps: Sequence[StepTimes]) -> list[Doubt]:
    found = [
        (s.step, 1000 * float(s.contact.nominal_value))
        for s in steps
        if not isinstance(s.contact, NoValue)
        and outside(s.contact, FIRST_CONTACT_S if s.step == 1 else LATER_CONTACT_S)
    ]
    return _asked(
        found,
        tr(
            "Unusual contact time in step {step}, {value:.0f} ms: are touchdown and toe-off on the right "
            "frames?"
        ),
        tr(
            "Unusual contact times in {steps}: are touchdown and toe-off on the right frames, and is the "
            "frame rate right?"
        ),
    )


def _frequencies(steps: Sequence[StepTimes]) -> list[Doubt]:
    found = [
        (s.step, s.frequency.value)
        for s in steps
        if not isinstance(s.frequency, NoValue) and outside(s.frequency, FREQUENCY_HZ)
    ]
    return _asked(
        found,
        tr(
            "Unusual step frequency in step {step}, {value:.1f} Hz: is a footfall missing, or the frame rate "
            "wrong?"
        ),
        tr("Unusual step frequencies in {steps}: is a footfall missing, or the frame rate wrong?"),
    )


def _asked(found: Sequence[tuple[int, float]], one: str, many: str) -> list[Doubt]:
    """A question for each step with its value, or one for all of them where they are many."""
    if len(found) > MANY:
        return [Doubt(found[0][0], many.format(steps=in_steps(step for step, _ in found)))]
    return [Doubt(step, one.format(step=step, value=value)) for step, value in found]
