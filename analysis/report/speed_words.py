"""How speeds at a place are told: the two ways of reading one, and what stands where neither can."""

from __future__ import annotations

from analysis.values.conditions import AgeGroup
from analysis.values.estimate import Estimate
from analysis.values.reading import SpeedReading
from analysis.values.run import Athlete
from analysis.values.words import signed, tr

RULE_OF_THUMB_M = 10.0
"""Where the rule of thumb for a speed stands."""


def rule_of_thumb(speed: SpeedReading, athlete: Athlete | None) -> str:
    """What stands beside a speed at 10 m of an athlete who is noted as male and adult; else nothing. Common
    practice, no source; it judges nobody.
    """
    read = isinstance(speed.local_m_s, Estimate) or isinstance(speed.model_m_s, Estimate)
    if not read or speed.x_m != RULE_OF_THUMB_M or athlete is None:
        return ""
    if athlete.sex != "male" or athlete.age is not AgeGroup.ADULT:
        return ""
    return tr(
        "A rule of thumb, no verdict (common practice, no source): an adult man from a field or court sport "
        "who starts well moves at nearly 8 m/s here."
    )


def last_step_words(speed: SpeedReading) -> str:
    """That it is a mean over a step, and where that step was: seldom at the place of the heading."""
    if speed.last_step_from_m is None or speed.last_step_to_m is None:
        return tr("Mean of the last whole step")
    return tr("Mean from {begin} to {end} m").format(
        begin=signed(speed.last_step_from_m, ".1f"), end=signed(speed.last_step_to_m, ".1f")
    )


def agreement(speed: SpeedReading) -> str:
    """How the two ways of reading a speed differ, by words."""
    local, model = speed.local_m_s, speed.model_m_s
    if not isinstance(local, Estimate) or not isinstance(model, Estimate):
        return ""
    difference = f"{abs(model.value - local.value):.2f}"
    if float(difference) == 0:
        return tr("the same both ways")
    if not speed.ways_told_apart:
        return tr("cannot be told apart from the nearby steps; {difference} m/s between them").format(
            difference=difference
        )
    higher = tr("{difference} m/s higher than from the nearby steps")
    lower = tr("{difference} m/s lower than from the nearby steps")
    return (higher if model.value > local.value else lower).format(difference=difference)
