"""Which charts of two runs there are."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from analysis.report.words import DEGREES, METRES, side_word
from analysis.values.run import Side
from analysis.values.words import tr
from app.charts.curves_shown import MASS_HEIGHT, Choice


class Over(Enum):
    """What goes across."""

    STEPS = "steps"
    METRES = "metres"
    TIME = "time"


@dataclass(frozen=True)
class PairChoice:
    """One chart. ``side``: of a limb's angle. ``curves``: of a chart over time, which it holds."""

    title: str
    over: Over
    measure: str
    side: Side | None = None
    curves: Choice | None = None


STEPS = (
    PairChoice(tr("Contact time"), Over.STEPS, "contact_s"),
    PairChoice(tr("Flight time"), Over.STEPS, "flight_s"),
    PairChoice(tr("Step length"), Over.STEPS, "step_length_m"),
    PairChoice(tr("Step velocity"), Over.STEPS, "step_velocity_m_s"),
)
"""These stand beside each other."""

SPEED = PairChoice(tr("Speed over distance"), Over.METRES, "local_m_s")

_MIDDLE = (
    ("trunk_deg", tr("Trunk")),
    ("spine_bend_deg", tr("Spine bend")),
    ("thigh_separation_deg", tr("Thigh separation")),
)
_OF_A_SIDE = (
    ("shin_deg", tr("Shin")),
    ("thigh_deg", tr("Thigh")),
    ("knee_deg", tr("Knee")),
    ("hip_deg", tr("Hip")),
    ("ankle_deg", tr("Ankle")),
)


def _over_time(measure: str, title: str, side: Side | None) -> PairChoice:
    unit = METRES if measure == MASS_HEIGHT else DEGREES
    return PairChoice(title, Over.TIME, measure, side, Choice(title, (measure,), unit))


OVER_TIME = (
    *(_over_time(measure, title, None) for measure, title in _MIDDLE),
    *(
        _over_time(measure, tr("{limb}, {side}").format(limb=title, side=side_word(side)), side)
        for measure, title in _OF_A_SIDE
        for side in Side
    ),
    _over_time(MASS_HEIGHT, tr("Centre of mass: height"), None),
)
