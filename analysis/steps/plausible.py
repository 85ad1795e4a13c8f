"""Questions about numbers that hardly any run shows: they doubt the tags or the frame rate, never the
athlete.

The limits are those of published starts from blocks, widened (Valamatos et al. 2022; Ciacci et al. 2017).
"""

from __future__ import annotations

from collections.abc import Sequence

from analysis.ground.carried import Number, spread
from analysis.steps.table import StartTimes, StepTimes
from analysis.values.estimate import NoValue
from analysis.values.words import tr

SLOW_MOTION_CONTACT_S = 0.4
FIRST_CONTACT_S = (0.14, 0.26)
LATER_CONTACT_S = (0.10, 0.22)
FIRST_FLIGHT_S = (0.02, 0.11)
FREQUENCY_HZ = (3.0, 5.5)
FIRST_STEP_M = (0.4, 1.5)
"""From the start line; the lower limit is own, since a standing start puts the front foot on the line."""


def outside(number: Number, limits: tuple[float, float]) -> bool:
    """True where the whole 95 % interval lies outside the limits."""
    if isinstance(number, NoValue):
        return False
    _, half = spread(number)
    return bool(number.nominal_value + half < limits[0] or number.nominal_value - half > limits[1])


def time_questions(start: StartTimes, steps: Sequence[StepTimes]) -> list[str]:
    """Questions about contacts, first flight and step frequency."""
    slow = [
        (s.step, float(s.contact.nominal_value))
        for s in steps
        if not isinstance(s.contact, NoValue) and s.contact.nominal_value > SLOW_MOTION_CONTACT_S
    ]
    if slow:
        return [
            tr(
                "The foot of step {step} stays on the ground for {contact:.2f} s. Is this slow motion read "
                "at its playing rate? Then set the rate at which it was filmed. Or is an event tagged on "
                "the wrong frame?"
            ).format(step=slow[0][0], contact=slow[0][1])
        ]
    questions = []
    contacts = [
        s.step for s in steps if outside(s.contact, FIRST_CONTACT_S if s.step == 1 else LATER_CONTACT_S)
    ]
    if contacts:
        questions.append(
            tr("Unusual contact time in step {steps}: are touchdown and toe-off on the right frames?").format(
                steps=_listed(contacts)
            )
        )
    frequencies = [s.step for s in steps if outside(s.frequency, FREQUENCY_HZ)]
    if frequencies:
        questions.append(
            tr(
                "Unusual step frequency in step {steps}: is a footfall missing, or the frame rate wrong?"
            ).format(steps=_listed(frequencies))
        )
    if outside(start.first_flight, FIRST_FLIGHT_S):
        questions.append(
            tr(
                "Unusual first flight time: are the front foot's toe-off and the first touchdown on the "
                "right frames?"
            )
        )
    return questions


def length_questions(first_step_length: Number) -> list[str]:
    """A question about the first step's length."""
    if outside(first_step_length, FIRST_STEP_M):
        return [tr("Unusual length of the first step: are the marks and the shoe's place right?")]
    return []


def _listed(steps: Sequence[int]) -> str:
    return ", ".join(str(step) for step in steps)
