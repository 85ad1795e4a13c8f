"""How speeds at a place are told: the two ways of reading one, and what stands where neither can."""

from __future__ import annotations

from analysis.values.estimate import Estimate
from analysis.values.reading import SpeedReading
from analysis.values.words import tr


def last_step_words(speed: SpeedReading) -> str:
    """That it is a mean over a step, and where that step was: seldom at the place of the heading."""
    if speed.last_step_from_m is None or speed.last_step_to_m is None:
        return tr("Mean of the last whole step")
    return tr("Mean from {begin:.1f} to {end:.1f} m").format(
        begin=speed.last_step_from_m, end=speed.last_step_to_m
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
