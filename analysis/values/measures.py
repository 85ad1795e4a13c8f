"""Which measures each question asks, and what they are called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from analysis.values.posture import Moment
from analysis.values.questions import Question
from analysis.values.words import tr


@dataclass(frozen=True)
class Asked:
    """A measure that a question asks at a moment. ``push``, ``steps``: of the start push, of every step."""

    measure: str
    moment: Moment
    words: str
    push: bool = False
    steps: bool = True

    @property
    def name(self) -> str:
        """What it is called, in the coach's language."""
        return tr(self.words)

    @property
    def unit(self) -> str:
        """The unit that its name ends with; empty for a ratio."""
        return unit_of(self.measure)


def _start(measure: str, moment: Moment, words: str) -> Asked:
    return Asked(measure, moment, words, push=True, steps=False)


ASKED: Mapping[Question, tuple[Asked, ...]] = MappingProxyType(
    {
        Question.LAUNCH: (
            _start("trunk_lead_deg", Moment.PUSH, "trunk lead"),
            _start("hip_share", Moment.PUSH, "hip share"),
            _start("spine_bend_deg", Moment.SET, "spine bend at the set position"),
            _start("trunk_deg", Moment.SET, "trunk at the set position"),
            _start("knee_deg", Moment.SET, "knee at the set position"),
            _start("feet_apart_m", Moment.SET, "distance between the feet"),
            _start("to_line_m", Moment.SET, "centre of mass to the start line"),
            _start("trunk_opening_deg", Moment.PUSH, "opening of the trunk to front toe-off"),
            _start("trunk_deg", Moment.TOE_OFF, "trunk at front toe-off"),
            _start("trunk_shin_match_deg", Moment.TOE_OFF, "trunk against shin at front toe-off"),
            _start("rear_foot_push_s", Moment.PUSH, "push of the rear foot"),
            _start("front_foot_push_s", Moment.PUSH, "push of the front foot"),
            _start("projection_deg", Moment.FLIGHT, "projection angle"),
        ),
        Question.SWAP: (
            Asked("thigh_separation_deg", Moment.FLIGHT, "largest thigh separation", push=True),
            Asked("separation_after_toe_off_s", Moment.FLIGHT, "toe-off to largest separation", push=True),
            Asked(
                "separation_before_touchdown_s", Moment.FLIGHT, "largest separation to touchdown", push=True
            ),
            Asked("thigh_return_rate_deg_s", Moment.FLIGHT, "thigh return rate", push=True),
            Asked("knee_gap_m", Moment.TOUCHDOWN, "knee gap at touchdown"),
        ),
        Question.STRIKE: (
            Asked("touchdown_distance_m", Moment.TOUCHDOWN, "touchdown distance"),
            Asked("shin_deg", Moment.TOUCHDOWN, "shin at touchdown"),
            Asked("shin_deg", Moment.TOE_OFF, "shin at toe-off"),
            Asked("shin_sweep_deg", Moment.TOE_OFF, "shin sweep"),
            Asked("trunk_deg", Moment.TOE_OFF, "trunk at toe-off"),
            Asked("contact_s", Moment.TOE_OFF, "contact time"),
            Asked("shoe_backward_speed_m_s", Moment.TOUCHDOWN, "shoe's backward speed before touchdown"),
        ),
        Question.RHYTHM: (
            Asked("contact_s", Moment.TOE_OFF, "contact time"),
            Asked("flight_s", Moment.FLIGHT, "flight time"),
            Asked("step_length_m", Moment.FLIGHT, "step length"),
            Asked("step_velocity_m_s", Moment.FLIGHT, "step velocity"),
            Asked("com_height_m", Moment.TOUCHDOWN, "height of the centre of mass at touchdown"),
            Asked("com_height_m", Moment.TOE_OFF, "height of the centre of mass at toe-off"),
        ),
    }
)
"""The measures of each question, in the order in which they are told."""

_UNITS = ("m_s2", "deg_s", "m_s", "percent", "deg", "ms", "s", "m")
RATIO = "ratio"
"""What stands in a column's name for a unit where there is none."""
COLUMN_UNITS = ("s", "m", "m_s", "m_s2", "hz", "deg", "deg_s", "percent", RATIO)
"""How units stand in the names of columns, in the order of the columns."""


@cache
def column_unit(measure: str) -> str:
    """The unit that a measure's name ends with, as it stands in the names of columns."""
    if measure.endswith("_hz"):
        return "hz"
    return next((u for u in _UNITS if measure.endswith(f"_{u}")), RATIO)


@cache
def unit_of(measure: str) -> str:
    """The unit that a measure's name ends with, as it is written; empty for a ratio."""
    ending = next((u for u in _UNITS if measure.endswith(f"_{u}")), "")
    return {"deg_s": "deg/s", "m_s": "m/s", "m_s2": "m/s²", "percent": "%"}.get(ending, ending)


def known_measures() -> frozenset[tuple[str, Moment]]:
    """Every measure that a band can be for, with its moment."""
    return frozenset((a.measure, a.moment) for asked in ASKED.values() for a in asked)


def read_at(measure: str, moment: Moment) -> tuple[bool, bool]:
    """Whether a measure is read in the start push, and whether on steps."""
    alike = [a for asked in ASKED.values() for a in asked if (a.measure, a.moment) == (measure, moment)]
    return any(one.push for one in alike), any(one.steps for one in alike)
