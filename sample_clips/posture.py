"""The upper body over time: trunk, spine, head, arms. Angles from the forward horizontal, anticlockwise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from sample_clips.body import Array, Lengths
from sample_clips.events import Schedule
from sample_clips.scenario import SIDES, Scenario, Side

# Upper arm from the trunk's line, deg, positive forwards.
ARM_FORWARD, ARM_BACK = 50.0, -66.0
ARM_SET_FORWARD, ARM_SET_BACK = 62.0, -34.0
SHOULDER_TURN_DEG, PELVIS_TURN_DEG = 13.0, 8.0


@dataclass(frozen=True)
class UpperBody:
    """Points relative to mid-hip, each (n, 3) in m, and the pelvis' turn about the vertical, (n,) in rad."""

    points: dict[str, Array]
    pelvis_turn: Array


def direction(angle_deg: Array) -> Array:
    """Unit vectors (n, 3) in the plane of the run."""
    a = np.radians(angle_deg)
    return np.stack([np.cos(a), np.sin(a), np.zeros_like(a)], axis=-1)


def _knots(first: list[tuple[float, float]], t: Array, values: tuple[float, ...]) -> PchipInterpolator:
    xs = [a for a, _ in first] + list(t)
    ys = [b for _, b in first] + list(values)
    return PchipInterpolator([*xs, xs[-1] + 1.0], [*ys, ys[-1]])


def _arm_curve(schedule: Schedule, start_front: Side, side: Side, t: Array) -> Array:
    """Upper-arm angle: forward at the toe-off of the same side's foot, back at the other's."""
    set_angle = ARM_SET_BACK if side == start_front else ARM_SET_FORWARD
    times, values = [-10.0, 0.03], [set_angle, set_angle]
    for c in schedule.contacts[1:]:
        grow = 0.88 if c.step == 0 else 1.0
        times.append(c.off_s + 0.008)
        values.append(grow * (ARM_FORWARD if c.side == side else ARM_BACK))
    knots_t, knots_v = np.array(times), np.array(values)
    i = np.clip(np.searchsorted(knots_t, t) - 1, 0, len(knots_t) - 2)
    u = np.clip((t - knots_t[i]) / (knots_t[i + 1] - knots_t[i]), 0.0, 1.0)
    ease = 0.6 * u * u * (3.0 - 2.0 * u) + 0.4 * u**3 * (10.0 - 15.0 * u + 6.0 * u * u)
    return np.asarray(knots_v[i] + ease * (knots_v[i + 1] - knots_v[i]))


def upper_body(scenario: Scenario, schedule: Schedule, size: Lengths, t: Array) -> UpperBody:
    """The upper body at times (n,) in s after the first movement."""
    start, steps = scenario.start, scenario.steps
    opens, opened = start.trunk_opens_s
    off0 = schedule.front_toe_off_s
    first = [(-10.0, start.trunk_set_deg), (opens, start.trunk_set_deg), (opened, start.trunk_toe_off_deg)]
    if opened < off0 - 0.05:
        first.append((off0, start.trunk_toe_off_deg + 0.5))
    trunk = _knots(first, schedule.toe_off_s, steps.trunk_deg)(t)
    bend = _knots(
        [(-10.0, start.spine_set_deg), (opens, start.spine_set_deg), (off0, steps.spine_deg[0] + 2.0)],
        schedule.toe_off_s,
        steps.spine_deg,
    )(t)

    points, middle = trunk_points(size, trunk, bend)

    arms = {side: _arm_curve(schedule, start.front_side, side, t) for side in SIDES}
    span = ARM_FORWARD - ARM_BACK
    twist = np.radians(SHOULDER_TURN_DEG) * (arms["right"] - arms["left"]) / span
    for side in SIDES:
        sign = 1.0 if side == "right" else -1.0
        z = sign * size.shoulder_z * np.cos(twist)
        points[f"{side}_shoulder"] = middle + np.stack([sign * size.shoulder_z * np.sin(twist), 0 * z, z], -1)
        arm_points(points, size, side, trunk, arms[side])
    pelvis = -np.radians(PELVIS_TURN_DEG) * (arms["right"] - arms["left"]) / span
    return UpperBody(points, pelvis)


def trunk_points(size: Lengths, trunk: Array, bend: Array) -> tuple[dict[str, Array], Array]:
    """Back, neck and head relative to mid-hip, and mid-shoulder, each (n, 3) in m; `trunk` its angle from the
    forward horizontal, `bend` of the spine, deg.
    """
    # Built lying first, then turned so that mid-hip to mid-shoulder has the asked angle.
    half = np.radians(bend) / 2.0
    low = size.lower_spine * np.stack([np.cos(half), np.sin(half)], -1)
    along = np.stack([np.cos(half), -np.sin(half)], -1)
    front = np.stack([-np.sin(half), -np.cos(half)], -1)
    high = low + size.upper_spine * along
    mid_shoulder = (
        low + (size.upper_spine - size.neck_above_shoulders) * along + size.shoulders_forward * front
    )
    turn = np.radians(trunk) - np.arctan2(mid_shoulder[:, 1], mid_shoulder[:, 0])
    c, s = np.cos(turn), np.sin(turn)

    def placed(p: Array) -> Array:
        x, y = p[:, 0] * c - p[:, 1] * s, p[:, 0] * s + p[:, 1] * c
        return np.stack([x, y, np.zeros_like(x)], -1)

    points = {"mid_back": placed(low), "neck": placed(high)}
    middle = placed(mid_shoulder)
    # The eyes go ahead: the head is more upright than the trunk, less so in the set position.
    head = 33.0 + 0.66 * trunk - 0.15 * bend
    points["head"] = points["neck"] + size.head * direction(head)
    return points, middle


def arm_points(points: dict[str, Array], size: Lengths, side: Side, trunk: Array, arm: Array) -> None:
    """Elbow, wrist and knuckle; the hand comes in towards the chest at the front."""
    sign = 1.0 if side == "right" else -1.0
    swing = np.clip((arm - 0.5 * (ARM_FORWARD + ARM_BACK)) / (0.5 * (ARM_FORWARD - ARM_BACK)), -1.2, 1.2)
    bend = 80.0 + 8.0 * swing + 17.0 * swing**2
    upper = trunk + 180.0 + arm
    shoulder = points[f"{side}_shoulder"]
    elbow_z = sign * size.elbow_z * np.ones_like(arm)
    points[f"{side}_elbow"] = _reach(shoulder, size.upper_arm, upper, elbow_z)
    wrist_z = sign * (0.185 - 0.055 * swing)
    points[f"{side}_wrist"] = _reach(points[f"{side}_elbow"], size.forearm, upper + bend, wrist_z)
    # The hand lies in the forearm's line, so that it can be told from elbow and wrist alone.
    elbow, wrist = points[f"{side}_elbow"], points[f"{side}_wrist"]
    points[f"{side}_knuckle"] = wrist + (size.hand / size.forearm) * (wrist - elbow)


def _reach(origin: Array, length: float, angle_deg: Array, z: Array) -> Array:
    """The far end of a segment of fixed length whose end lies at lateral place z."""
    dz = z - origin[:, 2]
    plane = np.sqrt(length**2 - dz**2)
    end = origin + plane[:, None] * direction(angle_deg)
    end[:, 2] = z
    return np.asarray(end)
