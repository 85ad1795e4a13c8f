"""When each foot stands on the ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sample_clips.body import Array
from sample_clips.scenario import Scenario, Side, other


@dataclass(frozen=True)
class Contact:
    """One foot on the ground, `on_s` to `off_s` in s after the first movement; the set position has no on."""

    side: Side
    on_s: float
    off_s: float
    step: int  # 0 for the start push


@dataclass(frozen=True)
class Schedule:
    """Continuous event times in s after the first movement; step k is entry k - 1."""

    contacts: tuple[Contact, ...]  # rear foot, front foot, then step 1, 2, ...
    touchdown_s: Array
    toe_off_s: Array

    @property
    def rear_toe_off_s(self) -> float:
        return self.contacts[0].off_s

    @property
    def front_toe_off_s(self) -> float:
        return self.contacts[1].off_s

    def of(self, side: Side) -> list[Contact]:
        """The contacts of one foot in order."""
        return [c for c in self.contacts if c.side == side]


def schedule_of(scenario: Scenario) -> Schedule:
    """The event times that a scenario asks for."""
    start, steps = scenario.start, scenario.steps
    front = start.front_side
    contacts = [
        Contact(other(front), -np.inf, start.rear_push_s, 0),
        Contact(front, -np.inf, start.front_push_s, 0),
    ]
    t, side = start.front_push_s + steps.first_flight_s, other(front)
    for k, (contact, flight) in enumerate(zip(steps.contact_s, steps.flight_s, strict=True), start=1):
        contacts.append(Contact(side, t, t + contact, k))
        t, side = t + contact + flight, other(side)
    return Schedule(
        tuple(contacts),
        np.array([c.on_s for c in contacts[2:]]),
        np.array([c.off_s for c in contacts[2:]]),
    )
