"""The legs: a foot that stays put on the ground, a two-link leg above it, and the swing between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import CubicSpline, PchipInterpolator

from sample_clips.body import Array, Lengths
from sample_clips.events import Contact, Schedule
from sample_clips.posture import direction
from sample_clips.scenario import Scenario, Side

# Within these times before touchdown and after toe-off the ball of the foot is placed too: it comes to
# rest, and leaves rest, with a steady high acceleration, so that no joint jumps.
LANDING_S, LEAVING_S = 0.010, 0.004
LANDING_M_S2 = np.array([70.0, 140.0])
LEAVING_M_S2 = np.array([350.0, 300.0])
RATE_STEP_S = 0.001


@dataclass(frozen=True)
class FootPlan:
    """Where one contact's foot stands, and how its heel moves."""

    contact: Contact
    ball_x: float
    pitch: (
        CubicSpline | PchipInterpolator | None
    )  # heel-up angle (deg) over the contact's time, None while it never lands
    pitch_rest: float

    @property
    def begin(self) -> float:
        return self.contact.on_s - LANDING_S

    @property
    def end(self) -> float:
        return self.contact.off_s + LEAVING_S


@dataclass(frozen=True)
class LegAngles:
    """Joint angles (n,) in deg: thigh from the downward vertical (forwards positive), knee flexion,
    ankle flexion downwards (plantar), toes' bend upwards.
    """

    thigh: Array
    knee: Array
    ankle: Array
    toes: Array

    def stacked(self) -> Array:
        return np.stack([self.thigh, self.knee, self.ankle, self.toes], -1)


def plan_feet(scenario: Scenario, schedule: Schedule, size: Lengths, com_x_on: Array) -> list[FootPlan]:
    """One plan a contact, in the schedule's order. `com_x_on`: x of the centre of mass at touchdowns, m."""
    start, steps = scenario.start, scenario.steps
    front_ball = start.front_tip_x_m - size.toes
    plans = []
    for c in schedule.contacts[:2]:
        front = c.side == start.front_side
        rest, leave = (7.0, 56.0) if front else (44.0, 62.0)
        held = 0.45 if front else 0.25
        curve = CubicSpline(
            [-0.2, 0.0, held * c.off_s, c.off_s],
            [rest, rest, rest - (1.0 if front else 5.0), leave],
            bc_type=((1, 0.0), (1, 520.0)),
        )
        x = front_ball if front else front_ball - start.foot_gap_m
        plans.append(FootPlan(c, x, curve, rest))
    for c in schedule.contacts[2:]:
        k = c.step - 1
        land, leave = steps.foot_pitch_touchdown_deg[k], steps.foot_pitch_toe_off_deg[k]
        span = c.off_s - c.on_s
        curve = CubicSpline(
            [c.on_s, c.on_s + 0.36 * span, c.on_s + 0.7 * span, c.off_s],
            [land, 0.45 * land, 0.30 * leave + 4.0, leave],
            bc_type=((1, -60.0), (1, 620.0)),
        )
        plans.append(FootPlan(c, float(com_x_on[k]) + steps.touchdown_distance_m[k], curve, land))
    return plans


def pitch_at(plan: FootPlan, t: Array) -> Array:
    """Heel-up angle of the rear foot in deg."""
    assert plan.pitch is not None
    if np.isfinite(plan.contact.on_s):
        return np.asarray(plan.pitch(t))
    return np.where(t <= 0.0, plan.pitch_rest, plan.pitch(np.maximum(t, 0.0)))


def ball_at(plan: FootPlan, size: Lengths, t: Array) -> Array:
    """Ball of the foot (n, 2) in m: still in contact, moving at the two ends of the placed stretch."""
    before = np.maximum(plan.contact.on_s - t, 0.0) if np.isfinite(plan.contact.on_s) else 0.0 * t
    after = np.maximum(t - plan.contact.off_s, 0.0)
    ball = np.tile([plan.ball_x, size.sole], (len(t), 1))
    ball += 0.5 * (before**2)[:, None] * LANDING_M_S2 * np.array([-1.0, 1.0])
    ball += 0.5 * (after**2)[:, None] * LEAVING_M_S2
    return ball


def placed_angles(plan: FootPlan, size: Lengths, t: Array, hip: Array) -> LegAngles:
    """Joint angles of a leg whose foot is placed, by the two-link solution. `hip` (n, 3) in m."""
    pitch = pitch_at(plan, t)
    ankle = ball_at(plan, size, t) - _ball_from_ankle(size, pitch)
    thigh, shank = _plane_lengths(size, hip)
    d = ankle - hip[:, :2]
    reach = np.hypot(d[:, 0], d[:, 1])
    cos_knee = (thigh**2 + shank**2 - reach**2) / (2.0 * thigh * shank)
    knee = 180.0 - np.degrees(np.arccos(np.clip(cos_knee, -1.0, 1.0)))
    cos_hip = (thigh**2 + reach**2 - shank**2) / (2.0 * thigh * reach)
    line = np.degrees(np.arctan2(d[:, 0], -d[:, 1]))  # from the downward vertical, forwards positive
    swing = line + np.degrees(np.arccos(np.clip(cos_hip, -1.0, 1.0)))
    shank_angle = 270.0 + swing - knee
    plantar = pitch + shank_angle - 270.0
    return LegAngles(swing, knee, plantar, pitch)


def stretch(size: Lengths, plan: FootPlan, t: Array, hip: Array) -> Array:
    """Hip-to-ankle distance as a share of the straight leg; it must stay under 1."""
    ankle = ball_at(plan, size, t) - _ball_from_ankle(size, pitch_at(plan, t))
    thigh, shank = _plane_lengths(size, hip)
    d = ankle - hip[:, :2]
    return np.asarray(np.hypot(d[:, 0], d[:, 1]) / (thigh + shank))


def _ball_from_ankle(size: Lengths, pitch: Array) -> Array:
    a = np.radians(-pitch)
    x, y = size.rear_foot - size.ankle_forward, -size.ankle_up
    return np.stack([x * np.cos(a) - y * np.sin(a), x * np.sin(a) + y * np.cos(a)], -1)


def _plane_lengths(size: Lengths, hip: Array) -> tuple[Array, float]:
    """Lengths of thigh and shank as seen in the plane of the run (their ends differ in z)."""
    knee_z = np.sign(hip[:, 2]) * size.knee_z
    thigh = np.asarray(np.sqrt(size.thigh**2 - (knee_z - hip[:, 2]) ** 2))
    return thigh, float(np.sqrt(size.shank**2 - (size.foot_z - size.knee_z) ** 2))


def leg_points(size: Lengths, side: Side, hip: Array, angles: LegAngles) -> dict[str, Array]:
    """Knee, ankle, heel, ball and toe tip, each (n, 3) in m."""
    sign = 1.0 if side == "right" else -1.0
    thigh, shank = _plane_lengths(size, hip)
    shank_angle = 270.0 + angles.thigh - angles.knee
    foot_angle = shank_angle + 90.0 - angles.ankle
    knee = hip + thigh[:, None] * direction(270.0 + angles.thigh)
    knee[:, 2] = sign * size.knee_z
    ankle = knee + shank * direction(shank_angle)
    ankle[:, 2] = sign * size.foot_z
    along, up = direction(foot_angle), direction(foot_angle + 90.0)
    heel = ankle - size.ankle_forward * along - size.ankle_up * up
    ball = heel + size.rear_foot * along
    toe = ball + size.toes * direction(foot_angle + angles.toes)
    names = {"knee": knee, "ankle": ankle, "heel": heel, "ball": ball, "toe": toe}
    return {f"{side}_{name}": p for name, p in names.items()}


@dataclass(frozen=True)
class Swing:
    """One leg's way through the air: joint angles (n, 4) in deg as a curve of time."""

    begin_s: float
    end_s: float
    curve: CubicSpline

    def angles(self, t: Array) -> Array:
        return np.asarray(self.curve(t))


def edge_times(plan: FootPlan) -> tuple[Array, Array]:
    """The three times at each end of a placed stretch from which the angles' rates are taken."""
    steps = RATE_STEP_S * np.arange(3)
    return np.asarray(plan.begin + steps), np.asarray(plan.end - steps)


def edge_rate(values: Array, direction_in_time: float) -> Array:
    """One-sided second-order rate from three samples (3, 4), nearest the edge first."""
    rate = (-3.0 * values[0] + 4.0 * values[1] - values[2]) / (2.0 * RATE_STEP_S)
    return np.asarray(direction_in_time * rate)


def swing_between(begin: tuple[float, Array, Array], end: tuple[float, Array, Array], knots: Array) -> Swing:
    """A cubic from one end to the other through `knots` (m, 5): time, thigh, knee, ankle, toes.

    An end is its time, its four joint angles and their rates (deg, deg/s).
    """
    times = np.concatenate([[begin[0]], knots[:, 0], [end[0]]])
    values = np.vstack([begin[1], knots[:, 1:], end[1]])
    return Swing(begin[0], end[0], CubicSpline(times, values, bc_type=((1, begin[2]), (1, end[2]))))


def swing_knots(scenario: Scenario, schedule: Schedule, leaving: Contact, landing: Contact) -> Array:
    """Where the swing leg passes between toe-off and touchdown: folded and forwards when the other foot
    lands, then knee up.
    """
    lift = scenario.steps.knee_lift_deg[landing.step - 1]
    if leaving.step == 0 and landing.step == 1:  # the rear leg's first swing, low and quick
        off0 = schedule.front_toe_off_s
        a, b = leaving.off_s + 0.42 * (off0 - leaving.off_s), off0 - 0.004
        return np.array([[a, 30.0, 103.0, 6.0, 6.0], [b, lift, 90.0, -4.0, 2.0]])
    under = schedule.contacts[landing.step]  # the other foot's contact meanwhile
    span = under.off_s - under.on_s
    early = min(1.0, 0.55 + 0.05 * landing.step)
    passing = scenario.steps.swing_thigh_touchdown_deg[under.step - 1]
    return np.array(
        [
            [under.on_s, passing, 66.0 + 50.0 * early, 28.0, 6.0],
            [under.on_s + 0.50 * span, 0.4 * passing + 0.6 * lift, 92.0 + 22.0 * early, 2.0, 4.0],
            [under.off_s - 0.004, lift, 84.0 + 8.0 * early, -6.0, 2.0],
        ]
    )
