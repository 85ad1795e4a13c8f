"""The posture table's rows: which measure stands in each, at which moment, of whose limb."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from analysis.report.words import (
    DEGREES,
    DEGREES_PER_SECOND,
    METRES,
    METRES_PER_SECOND,
    MILLISECONDS,
    RATIO,
    Unit,
    headed,
)
from analysis.values.posture import Moment, PostureReading
from analysis.values.run import Side
from analysis.values.words import tr


class Leg(Enum):
    """Whose limb a row shows; at the start the front foot's leg is the one that stands."""

    ANY = "any"
    STANCE = "stance"
    SWING = "swing"


@dataclass(frozen=True)
class PostureRow:
    """One measure at one moment, for every step. ``help``: its definition in a sentence."""

    measure: str
    moment: Moment
    name: str
    unit: Unit
    help: str
    leg: Leg = Leg.ANY

    @property
    def header(self) -> str:
        """Name and unit in one line."""
        return headed(self.name, self.unit)


@dataclass(frozen=True)
class Question:
    """A heading, what it asks, and its rows."""

    title: str
    asks: str
    rows: tuple[PostureRow, ...]


_SEGMENT = tr("From the forward horizontal; 90 is upright, less leans forward.")
_BENT = tr("Included angle of the joint; 180 is straight.")

LAUNCH = (
    PostureRow(
        "trunk_lead_deg",
        Moment.PUSH,
        tr("Trunk lead"),
        DEGREES,
        tr("How far the trunk has opened when the hips have gone 5 cm; above 0 it opens before they go."),
    ),
    PostureRow(
        "hip_share",
        Moment.PUSH,
        tr("Hip share"),
        RATIO,
        tr("Travel of the hips against that of the trunk turning over them; 1 when the body moves as one."),
    ),
    PostureRow(
        "trunk_opening_deg",
        Moment.PUSH,
        tr("Trunk opening"),
        DEGREES,
        tr("Trunk angle at the front foot's toe-off less the one at rest."),
    ),
    PostureRow(
        "spine_bend_deg",
        Moment.SET,
        tr("Spine bend, set"),
        DEGREES,
        tr("0 is straight, more is rounded forward."),
    ),
    PostureRow("trunk_deg", Moment.SET, tr("Trunk, set"), DEGREES, _SEGMENT),
    PostureRow("trunk_deg", Moment.TOUCHDOWN, tr("Trunk at touchdown"), DEGREES, _SEGMENT),
    PostureRow("trunk_deg", Moment.TOE_OFF, tr("Trunk at toe-off"), DEGREES, _SEGMENT),
    PostureRow(
        "trunk_shin_match_deg",
        Moment.TOE_OFF,
        tr("Trunk less shin, toe-off"),
        DEGREES,
        tr("Trunk angle less shin angle; 0 is parallel."),
    ),
    PostureRow(
        "projection_deg",
        Moment.FLIGHT,
        tr("Projection angle"),
        DEGREES,
        tr("Direction of the centre of mass at toe-off, up from the horizontal."),
    ),
    PostureRow(
        "feet_apart_m",
        Moment.SET,
        tr("Between the feet, set"),
        METRES,
        tr("Along the run, from shoe tip to shoe tip."),
    ),
    PostureRow(
        "to_line_m",
        Moment.SET,
        tr("Mass to the line, set"),
        METRES,
        tr("Centre of mass in the set position; below 0 is behind the start line."),
    ),
)
SWAP = (
    PostureRow(
        "thigh_separation_deg",
        Moment.FLIGHT,
        tr("Thigh separation"),
        DEGREES,
        tr("Angle between the thighs, largest in flight."),
    ),
    PostureRow(
        "separation_after_toe_off_s",
        Moment.FLIGHT,
        tr("From toe-off to it"),
        MILLISECONDS,
        tr("From toe-off to the largest thigh separation."),
    ),
    PostureRow(
        "separation_before_touchdown_s",
        Moment.FLIGHT,
        tr("From it to touchdown"),
        MILLISECONDS,
        tr("From the largest thigh separation to the next touchdown."),
    ),
    PostureRow(
        "thigh_return_rate_deg_s",
        Moment.FLIGHT,
        tr("Thigh return rate"),
        DEGREES_PER_SECOND,
        tr("How fast the front thigh comes down, from its highest to touchdown."),
    ),
    PostureRow(
        "knee_gap_m",
        Moment.TOUCHDOWN,
        tr("Knee gap at touchdown"),
        METRES,
        tr("Swing knee in front of the stance knee; below 0 it is still behind."),
    ),
)
STRIKE = (
    PostureRow(
        "touchdown_distance_m",
        Moment.TOUCHDOWN,
        tr("Touchdown distance"),
        METRES,
        tr("Ball of the foot in front of the centre of mass."),
    ),
    PostureRow(
        "touchdown_distance_rise_m",
        Moment.TOUCHDOWN,
        tr("More than the step before"),
        METRES,
        tr("Touchdown distance less that of the step before; below 0 that one landed further in front."),
    ),
    PostureRow("shin_deg", Moment.TOUCHDOWN, tr("Shin at touchdown"), DEGREES, _SEGMENT),
    PostureRow("shin_deg", Moment.TOE_OFF, tr("Shin at toe-off"), DEGREES, _SEGMENT),
    PostureRow(
        "shin_sweep_deg",
        Moment.TOE_OFF,
        tr("Shin sweep"),
        DEGREES,
        tr("Shin angle at touchdown less that at toe-off."),
    ),
    PostureRow(
        "shoe_backward_speed_m_s",
        Moment.TOUCHDOWN,
        tr("Shoe backwards"),
        METRES_PER_SECOND,
        tr("Speed of the shoe over the ground just before, backwards positive."),
    ),
    PostureRow(
        "toe_off_distance_m",
        Moment.TOE_OFF,
        tr("Toe-off distance"),
        METRES,
        tr("Ball of the foot in front of the centre of mass; below 0 it pushes from behind."),
    ),
)
MASS = (
    PostureRow(
        "com_rise_m",
        Moment.TOUCHDOWN,
        tr("Rise since the last touchdown"),
        METRES,
        tr("Height of the centre of mass at touchdown less that at the touchdown before; below 0 it drops."),
    ),
    PostureRow(
        "com_height_m",
        Moment.TOUCHDOWN,
        tr("Height at touchdown"),
        METRES,
        tr("Centre of mass above the ground."),
    ),
    PostureRow(
        "com_height_m",
        Moment.TOE_OFF,
        tr("Height at toe-off"),
        METRES,
        tr("Centre of mass above the ground."),
    ),
)

_JOINTS = (
    ("thigh_deg", tr("Thigh"), _SEGMENT),
    ("knee_deg", tr("Knee"), _BENT),
    ("hip_deg", tr("Hip"), _BENT),
    ("ankle_deg", tr("Ankle"), tr("Between the shin and the line from ankle to shoe tip.")),
)
_NAMED = {
    (Leg.STANCE, Moment.SET): tr("{joint}, front, set"),
    (Leg.SWING, Moment.SET): tr("{joint}, rear, set"),
    (Leg.STANCE, Moment.TOUCHDOWN): tr("{joint}, stance, touchdown"),
    (Leg.SWING, Moment.TOUCHDOWN): tr("{joint}, swing, touchdown"),
    (Leg.STANCE, Moment.TOE_OFF): tr("{joint}, stance, toe-off"),
    (Leg.SWING, Moment.TOE_OFF): tr("{joint}, swing, toe-off"),
}
JOINTS = tuple(
    PostureRow(measure, moment, words.format(joint=name), DEGREES, said, leg)
    for (leg, moment), words in _NAMED.items()
    for measure, name, said in _JOINTS
)

QUESTIONS = (
    Question(tr("Launch"), tr("Did the push from the set position send the hips forwards?"), LAUNCH),
    Question(tr("Swap"), tr("Do the legs change over in time?"), SWAP),
    Question(tr("Strike"), tr("What does the foot do on the ground?"), STRIKE),
    Question(tr("Centre of mass"), tr("Where does its path go?"), MASS),
    Question(tr("Joints"), tr("How are the limbs bent?"), JOINTS),
)


class PostureCells:
    """The measures of a reading by row and step. ``steps``: the columns, 0 for the start."""

    def __init__(self, posture: Iterable[PostureReading]) -> None:
        self._by_key: dict[tuple[str, Moment, int], list[PostureReading]] = {}
        for one in posture:
            self._by_key.setdefault((one.measure, one.moment, one.step), []).append(one)
        self.steps = tuple(sorted({step for _, _, step in self._by_key}))
        self.stands = {step: side for step in self.steps if (side := self._stance(step)) is not None}

    def at(self, row: PostureRow, step: int) -> PostureReading | None:
        """What stands in a cell; None where there is nothing to be read."""
        found = self._by_key.get((row.measure, row.moment, step), [])
        if row.leg is Leg.ANY:
            return found[0] if found else None
        stance = self.stands.get(step)
        wanted = stance if stance is None or row.leg is Leg.STANCE else stance.other
        return next((one for one in found if one.side is wanted), None)

    def _stance(self, step: int) -> Side | None:
        """Whose foot is on the ground in a step."""
        told = self._by_key.get(("toe_off_distance_m", Moment.TOE_OFF, step), [])
        return told[0].side if told else None
