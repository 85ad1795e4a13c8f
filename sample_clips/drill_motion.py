"""Two drills as motions: a throw from kneeling and a split jump, one repetition each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.interpolate import PchipInterpolator

from sample_clips.body import Array, Lengths, centre_of_mass, lengths_of
from sample_clips.events import Contact
from sample_clips.legs import FootPlan, LegAngles, leg_points, placed_angles
from sample_clips.motion import Pose
from sample_clips.posture import arm_points, direction, trunk_points
from sample_clips.scenario import SIDES, Side

G_M_S2 = 9.80665
STATURE_M = 1.82
BALL_RADIUS_M = 0.11
BEHIND_BALL_M = np.array([-0.10, -0.02])
WRIST_Z_M = 0.10
RATE_STEP_S = 1e-4
ROUNDS = 40


def _curve(t: Array, *knots: tuple[float, float]) -> Array:
    times, values = zip(*knots, strict=True)
    inside = np.clip(t, times[0], times[-1])
    return np.asarray(PchipInterpolator(times, values)(inside))


def _flat(x: Array, y: Array) -> Array:
    return np.stack([x, y, np.zeros_like(x)], -1)


@dataclass(frozen=True)
class ThrowRep:
    """A two-handed push of a ball from both knees. Times in s from the repetition's begin, angles in deg.

    `hip_release_deg`: from the knee to the hip at the release, 90 upright over the knees, less farther
    forwards; `push_s`: how long the hands push.
    """

    hip_set_deg: float = 122.0
    hip_release_deg: float = 96.0
    hip_landing_deg: float = 54.0
    trunk_set_deg: float = 74.0
    trunk_release_deg: float = 58.0
    trunk_landing_deg: float = 12.0
    push_s: float = 0.20
    push_to_m: tuple[float, float] = (0.60, 0.06)
    moves_s: float = 0.34
    release_s: float = 0.762
    landing_s: float = 1.184
    ends_s: float = 1.40
    knee_x_m: float = 0.75

    @cached_property
    def size(self) -> Lengths:
        return lengths_of(STATURE_M)

    @property
    def events_s(self) -> dict[str, float]:
        """When what happens, s."""
        return {"set": self.moves_s - 0.04, "release": self.release_s, "landing": self.landing_s}

    def at(self, t: Array) -> Pose:
        """The pose at times (n,)."""
        size = self.size
        lean = _curve(
            t, (self.moves_s, self.hip_set_deg), (self.release_s, self.hip_release_deg),
            (self.landing_s, self.hip_landing_deg), (self.ends_s, self.hip_landing_deg - 3.0),
        )  # fmt: skip
        pelvis = _flat(np.full_like(t, self.knee_x_m), np.full_like(t, 0.06)) + size.thigh * direction(lean)
        trunk = self._trunk(t)
        points, middle = trunk_points(size, trunk, np.full_like(t, 12.0))
        points = {name: p + pelvis for name, p in points.items()}
        points["mid_hip"] = pelvis
        legs: dict[Side, LegAngles] = {}
        for side in SIDES:
            sign = 1.0 if side == "right" else -1.0
            points[f"{side}_shoulder"] = middle + pelvis + np.array([0.0, 0.0, sign * size.shoulder_z])
            self._arm(points, side, t)
            hip = pelvis + np.array([0.0, 0.0, sign * size.hip_z])
            points[f"{side}_hip"] = hip
            shank = 161.0
            thigh = lean - 90.0
            # Both shins lie behind the knees, the toes tucked under.
            legs[side] = LegAngles(
                thigh, 270.0 + thigh - shank, np.full_like(t, shank - 176.0), np.full_like(t, 84.0)
            )
            points.update(leg_points(size, side, hip, legs[side]))
        return Pose(t, points, centre_of_mass(points), legs)

    def ball_at(self, t: Array) -> Array:
        """The ball's middle (n, 3) in m: in the hands, then in free flight with their last speed."""
        begin = np.array([self.release_s])
        place = self._held(begin)[0]
        speed = (self._held(begin)[0] - self._held(begin - RATE_STEP_S)[0]) / RATE_STEP_S
        flown = np.maximum(t - self.release_s, 0.0)[:, None]
        free = place + speed * flown + np.array([0.0, -G_M_S2 / 2, 0.0]) * flown**2
        free[:, 1] = np.maximum(free[:, 1], BALL_RADIUS_M)
        return np.where((t < self.release_s)[:, None], self._held(np.minimum(t, self.release_s)), free)

    @property
    def truth(self) -> dict[str, float]:
        """What is measured of it, exactly."""
        t = np.array([self.release_s])
        place = self.ball_at(t)[0]
        vx, vy = (self.ball_at(t + 0.01)[0] - place)[:2] / 0.01 + np.array([0.0, G_M_S2 * 0.005])
        still, gone, down = (
            float(self.at(np.array([s])).points["mid_hip"][0, 0]) for s in self.events_s.values()
        )
        return {
            "release_angle_deg": float(np.degrees(np.arctan2(vy, vx))),
            "release_speed_m_s": float(np.hypot(vx, vy)),
            "release_height_m": float(place[1]),
            "trunk_at_release_deg": float(self._trunk(t)[0]),
            "hip_set_to_release_m": gone - still,
            "hip_release_to_landing_m": down - gone,
        }

    def _trunk(self, t: Array) -> Array:
        return _curve(
            t, (self.moves_s, self.trunk_set_deg), (self.release_s, self.trunk_release_deg),
            (self.landing_s, self.trunk_landing_deg), (self.ends_s, self.trunk_landing_deg - 2.0),
        )  # fmt: skip

    def _shoulder(self, t: Array) -> Array:
        lean = _curve(
            t, (self.moves_s, self.hip_set_deg), (self.release_s, self.hip_release_deg),
            (self.landing_s, self.hip_landing_deg), (self.ends_s, self.hip_landing_deg - 3.0),
        )  # fmt: skip
        knee = _flat(np.full_like(t, self.knee_x_m), np.full_like(t, 0.06))
        _, middle = trunk_points(self.size, self._trunk(t), np.full_like(t, 12.0))
        return np.asarray(knee + self.size.thigh * direction(lean) + middle)

    def _held(self, t: Array) -> Array:
        """The ball's middle in the hands: at the chest, then pushed away with a steady acceleration."""
        share = np.clip((t - self.release_s + self.push_s) / self.push_s, 0.0, 1.0) ** 2
        chest, far = np.array([0.24, -0.20, 0.0]), np.array([*self.push_to_m, 0.0])
        return np.asarray(self._shoulder(t) + chest + share[:, None] * (far - chest))

    def _arm(self, points: dict[str, Array], side: Side, t: Array) -> None:
        """Elbow and wrist: behind the ball, then down to the floor in front."""
        size, sign = self.size, 1.0 if side == "right" else -1.0
        before = self._held(np.minimum(t, self.release_s))[:, :2] + BEHIND_BALL_M
        floor_x = float(self._shoulder(np.array([self.landing_s]))[0, 0]) + 0.10
        share = _curve(t, (self.release_s + 0.06, 0.0), (self.landing_s, 1.0))[:, None]
        target = (1.0 - share) * before + share * np.array([floor_x, 0.07])
        shoulder = points[f"{side}_shoulder"]
        upper = float(np.sqrt(size.upper_arm**2 - (size.elbow_z - size.shoulder_z) ** 2))
        lower = float(np.sqrt(size.forearm**2 - (size.elbow_z - WRIST_Z_M) ** 2))
        away = target - shoulder[:, :2]
        reach = np.hypot(away[:, 0], away[:, 1])
        most = 0.985 * (upper + lower)
        away *= np.minimum(1.0, most / reach)[:, None]
        reach = np.minimum(reach, most)
        at_shoulder = np.degrees(np.arccos((upper**2 + reach**2 - lower**2) / (2 * upper * reach)))
        line = np.degrees(np.arctan2(away[:, 1], away[:, 0]))
        elbow = shoulder + upper * direction(line - at_shoulder)
        elbow[:, 2] = sign * size.elbow_z
        wrist = np.column_stack([shoulder[:, :2] + away, np.full_like(t, sign * WRIST_Z_M)])
        points[f"{side}_elbow"], points[f"{side}_wrist"] = elbow, wrist
        points[f"{side}_knuckle"] = wrist + (size.hand / size.forearm) * (wrist - elbow)


@dataclass(frozen=True)
class SplitJumpRep:
    """From a lunge up and forwards, the legs changed over in the air, into the next lunge. Lengths in m."""

    front: Side = "left"
    front_ball_x_m: float = 1.35
    gap_m: float = 0.66
    speed_x_m_s: float = 0.75
    speed_y_m_s: float = 2.05
    off_m: float = 0.875
    down_m: float = 0.845
    moves_s: float = 0.32
    push_s: float = 0.262
    rest_s: float = 0.30

    @cached_property
    def size(self) -> Lengths:
        return lengths_of(STATURE_M)

    @property
    def off_s(self) -> float:
        return self.moves_s + self.push_s

    @property
    def flight_s(self) -> float:
        root = np.sqrt(self.speed_y_m_s**2 + 2 * G_M_S2 * (self.off_m - self.down_m))
        return float((self.speed_y_m_s + root) / G_M_S2)

    @property
    def landing_s(self) -> float:
        return self.off_s + self.flight_s

    @property
    def ends_s(self) -> float:
        return self.landing_s + self.rest_s + 0.15

    @property
    def events_s(self) -> dict[str, float]:
        """When what happens, s."""
        return {"set": self.moves_s - 0.04, "push-off": self.off_s, "landing": self.landing_s}

    @property
    def truth(self) -> dict[str, float]:
        """What is measured of it, exactly."""
        return {
            "jump_projection_deg": float(np.degrees(np.arctan2(self.speed_y_m_s, self.speed_x_m_s))),
            "jump_flight_s": self.flight_s,
            "jump_distance_m": self.speed_x_m_s * self.flight_s,
        }

    def at(self, t: Array) -> Pose:
        """The pose at times (n,): the centre of mass of the drawn segments lies on its path."""
        target = self.com_at(t)
        pelvis = _flat(target[:, 0] - 0.04, target[:, 1] - 0.06)
        points, com, legs = self._assemble(t, pelvis)
        for _ in range(ROUNDS):
            pelvis = pelvis.copy()
            pelvis[:, :2] += target - com[:, :2]
            points, com, legs = self._assemble(t, pelvis)
            if float(np.abs(target - com[:, :2]).max()) < 1e-9:
                break
        return Pose(t, points, com, legs)

    def com_at(self, t: Array) -> Array:
        """Where the centre of mass is, (n, 2): at rest, pushed, in free flight, brought to rest."""
        middle = self.front_ball_x_m - 0.46 * self.gap_m
        push = np.clip(t - self.moves_s, 0.0, self.push_s)
        air = np.clip(t - self.off_s, 0.0, self.flight_s)
        stop = np.clip(t - self.landing_s, 0.0, self.rest_s)
        # a push that begins and ends smoothly: half a wave of force over its time
        share = push / self.push_s
        way = self.push_s * (share - np.sin(np.pi * share) / np.pi) / 2
        begun = middle - self.speed_x_m_s * self.push_s / 2
        low = self.off_m - self.speed_y_m_s * self.push_s / 2
        vy = self.speed_y_m_s - G_M_S2 * self.flight_s
        left = self.rest_s - stop
        x = begun + self.speed_x_m_s * (way + air + stop - stop**2 / (2 * self.rest_s))
        y = low + self.speed_y_m_s * way + self.speed_y_m_s * air - G_M_S2 * air**2 / 2
        y += vy * (self.rest_s / 3) * (1.0 - (left / self.rest_s) ** 3)
        return np.stack([x, y], -1)

    def _plans(self) -> dict[Side, tuple[FootPlan, FootPlan]]:
        """Where each foot stands before and after the flight."""
        travel = self.speed_x_m_s * self.flight_s
        back = self.front_ball_x_m - self.gap_m
        other: Side = "right" if self.front == "left" else "left"

        def plan(side: Side, x: float, rest: float, *, before: bool) -> FootPlan:
            if before:
                curve = PchipInterpolator([-1.0, self.moves_s, self.off_s], [rest, rest, 58.0])
                return FootPlan(Contact(side, -np.inf, self.off_s, 0), x, curve, rest)
            ends = self.landing_s + self.rest_s
            first = 40.0 if rest > 20 else 12.0
            curve = PchipInterpolator([self.landing_s, ends, ends + 1.0], [first, rest, rest])
            return FootPlan(Contact(side, self.landing_s, np.inf, 1), x, curve, rest)

        return {
            self.front: (
                plan(self.front, self.front_ball_x_m, 2.0, before=True),
                plan(self.front, back + travel, 52.0, before=False),
            ),
            other: (
                plan(other, back, 52.0, before=True),
                plan(other, self.front_ball_x_m + travel, 2.0, before=False),
            ),
        }

    def _assemble(self, t: Array, pelvis: Array) -> tuple[dict[str, Array], Array, dict[Side, LegAngles]]:
        size = self.size
        ends = self.landing_s + self.rest_s
        trunk = _curve(t, (self.moves_s, 78.0), (self.off_s, 84.0), (self.landing_s, 82.0), (ends, 78.0))
        points, middle = trunk_points(size, trunk, np.full_like(t, 8.0))
        points = {name: p + pelvis for name, p in points.items()}
        points["mid_hip"] = pelvis
        legs: dict[Side, LegAngles] = {}
        plans = self._plans()
        for side in SIDES:
            sign = 1.0 if side == "right" else -1.0
            points[f"{side}_shoulder"] = middle + pelvis + np.array([0.0, 0.0, sign * size.shoulder_z])
            first = -35.0 if side == self.front else 30.0
            swing = _curve(t, (self.moves_s, first), (self.landing_s, -first))
            arm_points(points, size, side, trunk, swing)
            hip = pelvis + np.array([0.0, 0.0, sign * size.hip_z])
            points[f"{side}_hip"] = hip
            legs[side] = self._leg(plans[side], t, hip)
            points.update(leg_points(size, side, hip, legs[side]))
        return points, centre_of_mass(points), legs

    def _leg(self, plans: tuple[FootPlan, FootPlan], t: Array, hip: Array) -> LegAngles:
        """Joint angles: a foot that stands, else from how it left to how it lands, the knee bent between."""
        table = placed_angles(plans[0], self.size, np.minimum(t, self.off_s), hip).stacked()
        landed = t >= self.landing_s
        table[landed] = placed_angles(plans[1], self.size, t[landed], hip[landed]).stacked()
        air = (t > self.off_s) & ~landed
        if air.any():
            # the hips at both ends of the flight are those of its own ballistic path
            away = hip[air][0] - np.array([*self.com_at(t[air][:1])[0], 0.0])
            ends = [self._placed(plans[0], self.off_s, away), self._placed(plans[1], self.landing_s, away)]
            share = (t[air] - self.off_s) / self.flight_s
            eased = (share * share * (3.0 - 2.0 * share))[:, None]
            table[air] = (1.0 - eased) * ends[0].stacked() + eased * ends[1].stacked()
            table[air, 1] += 34.0 * np.sin(np.pi * share) ** 2
        return LegAngles(*table.T)

    def _placed(self, plan: FootPlan, s: float, away: Array) -> LegAngles:
        """The leg at one end of the flight; `away`: hip less centre of mass, (3,) in m."""
        when = np.array([s])
        hip = np.array([*self.com_at(when)[0], 0.0]) + away
        return placed_angles(plan, self.size, when, hip[None])
