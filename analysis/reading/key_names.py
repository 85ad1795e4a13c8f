"""What a number of a reading is called, by its key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from analysis.steps.naming import in_steps
from analysis.values.comparison import MeasureKey
from analysis.values.measures import ASKED
from analysis.values.posture import Moment
from analysis.values.words import capital, signed, tr

_AT_MOMENT = {(one.measure, one.moment): one.words for asked in ASKED.values() for one in asked}
_BY_ITSELF = {
    "rear_foot_push_s": "push of the rear foot",
    "front_foot_push_s": "push of the front foot",
    "first_flight_s": "first flight",
    "first_step_length_m": "first step length",
    "split_s": "split",
    "split_from_first_movement_s": "split from the first movement",
    "gate_time_s": "gate time",
    "split_from_front_toe_off_s": "split from front toe-off",
    "local_m_s": "speed, nearby steps",
    "model_m_s": "speed, whole run",
    "contact_s": "contact time",
    "flight_s": "flight time",
    "step_time_s": "step time",
    "step_frequency_hz": "step frequency",
    "flight_to_contact": "flight to contact",
    "step_length_m": "step length",
    "step_velocity_m_s": "step velocity",
    "foot_to_foot_speed_m_s": "foot-to-foot speed",
    "trunk_deg": "trunk",
    "shin_deg": "shin",
    "thigh_deg": "thigh",
    "knee_deg": "knee",
    "hip_deg": "hip",
    "ankle_deg": "ankle",
    "spine_bend_deg": "spine bend",
    "trunk_shin_match_deg": "trunk against shin",
    "toe_off_distance_m": "toe-off distance",
    "thigh_separation_deg": "thigh separation",
    "com_height_m": "height of the centre of mass",
    "com_rise_m": "rise of the centre of mass",
    "release_angle_deg": "release angle",
    "release_speed_m_s": "release speed",
    "release_height_m": "release height",
    "free_fall_m_s2": "fall, with g left free",
    "trunk_at_release_deg": "trunk at release",
    "hip_set_to_release_m": "hips, set to release",
    "hip_release_to_landing_m": "hips, release to landing",
    "jump_projection_deg": "projection angle",
    "jump_flight_s": "flight time",
    "jump_distance_m": "distance, tip to tip",
    "jump_contact_s": "contact to the next jump",
    "speed_loss_percent": "speed lost to the load",
    "touchdown_distance_rise_m": "touchdown distance less that of the step before",
}
_MOMENTS = {
    Moment.SET: "at the set position",
    Moment.TOUCHDOWN: "at touchdown",
    Moment.TOE_OFF: "at toe-off",
}


def measure_name(measure: str) -> str:
    """What a measure is called wherever it is read: with a capital letter, such as "Contact time"."""
    at_moment = next((words for (name, _), words in _AT_MOMENT.items() if name == measure), measure)
    return capital(tr(_BY_ITSELF.get(measure, at_moment)))


def key_name(key: MeasureKey) -> str:
    """Such as "contact time, step 3", "split, 5 m" or "knee at touchdown, step 2, other leg"."""
    at_moment = None if key.moment is None else _AT_MOMENT.get((key.measure, key.moment))
    if at_moment is not None and key.step != 0 and "front toe-off" in at_moment:
        at_moment = None
    words = at_moment or _BY_ITSELF.get(key.measure, key.measure)
    parts = [tr(words)]
    if at_moment is None and key.moment in _MOMENTS and "toe-off" not in words:
        parts = [f"{tr(words)} {tr(_MOMENTS[key.moment])}"]
    if key.step:
        counted = tr("jump {step}") if key.measure.startswith("jump_") else tr("step {step}")
        parts.append(counted.format(step=key.step))
    if key.x_m is not None:
        parts.append(tr("{x} m").format(x=signed(key.x_m)))
    if key.other_leg:
        parts.append(tr("other leg"))
    return ", ".join(parts)


def same_but_step(key: MeasureKey) -> MeasureKey:
    """What a number shares with those of other steps; the start push stands by itself."""
    return replace(key, step=None) if key.step else key


def keys_name(keys: Sequence[MeasureKey]) -> str:
    """Numbers that differ in their step alone, such as "contact time, steps 1 to 4"."""
    if len(keys) == 1:
        return key_name(keys[0])
    steps = in_steps([key.step for key in keys if key.step])
    return tr("{measure}, {steps}").format(measure=key_name(same_but_step(keys[0])), steps=steps)
