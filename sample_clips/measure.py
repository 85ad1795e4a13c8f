"""The true measures of a run, from the body's exact motion; `DEFINITIONS` says what each one is."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np

from sample_clips.body import BALL_SHARE, Array
from sample_clips.com_path import G
from sample_clips.motion import Motion, Pose
from sample_clips.scenario import Side, other

Json = dict[str, Any]

BEFORE_S = -0.1  # a moment of the rest, s after the first movement

DEFINITIONS: dict[str, str] = {
    "time": "events in s of film time (the first frame is 0), continuous, not rounded to frames; "
    "a tag in the sheet is the first frame at or after the event",
    "angles": "deg, from the forward horizontal, anticlockwise, lower to upper end, in the plane of the run",
    "ball_of_foot": "heel + 0.72 (tip - heel)",
    "touchdown_distance_m": "x of the ball of the stance foot - x of the centre of mass at touchdown",
    "toe_off_distance_m": "the same at toe-off",
    "step_length_m": "x of the next shoe's tip - x of this shoe's tip, each while on the ground",
    "step_velocity": "forward travel of the point between touchdowns k and k+1 / step time k",
    "foot_to_foot_speed_m_s": "step length / step time",
    "step_averaged_m_s": "travel of the point over one whole step time centred on the moment it passes "
    "the mark / that step time (the time of the step in which it passes)",
    "model_m_s": "vmax (1 - exp(-s / tau)) at the moment at which the point passes the mark",
    "split_s": "moment at which the point passes the mark - first movement",
    "trunk_lead_deg": "trunk angle when mid-hip is 0.05 m forward of rest - trunk angle at rest",
    "hip_share": "|forward travel of mid-hip| / (|that| + |travel of mid-shoulder relative to mid-hip|), "
    "rest to front toe-off",
    "projection_deg": "direction of the centre of mass's velocity at front toe-off",
    "spine_bend_deg": "180 - angle at mid-back between mid-hip and the base of the neck",
}


def angle_deg(low: Array, high: Array) -> Array:
    """Angle of low to high, from the forward horizontal; (..., 3) in m."""
    d = high - low
    return np.asarray(np.degrees(np.arctan2(d[..., 1], d[..., 0])))


class Measures:
    """Measures of one motion. Times inside are s after the first movement; results are film time."""

    def __init__(self, motion: Motion, film_end_s: float) -> None:
        self.motion = motion
        self.rest_s = motion.scenario.rest_s
        self.end_s = film_end_s - self.rest_s
        events = [t for c in motion.schedule.contacts for t in (c.on_s, c.off_s) if np.isfinite(t)]
        times = [BEFORE_S, *events]
        pose = motion.at(np.array(times))  # all at once is far quicker than one by one
        self._poses = {t: pose.rows(slice(i, i + 1)) for i, t in enumerate(times)}

    def point(self, name: str, t: float) -> Array:
        """One body point (3,) in m; `com` is the centre of mass."""
        pose = self._pose(t)
        if name == "com":
            return np.asarray(pose.com[0])
        if name == "mid_shoulder":
            return np.asarray(0.5 * (pose.points["left_shoulder"] + pose.points["right_shoulder"])[0])
        return np.asarray(pose.points[name][0])

    def _pose(self, t: float) -> Pose:
        if t not in self._poses:
            self._poses[t] = self.motion.at(np.array([t]))
        return self._poses[t]

    def trunk(self, t: float) -> float:
        return float(angle_deg(self.point("mid_hip", t), self.point("mid_shoulder", t)))

    def _shin(self, side: Side, t: float) -> float:
        return float(angle_deg(self.point(f"{side}_ankle", t), self.point(f"{side}_knee", t)))

    def _ball(self, side: Side, t: float) -> float:
        heel, toe = self.point(f"{side}_heel", t)[0], self.point(f"{side}_toe", t)[0]
        return float(heel + BALL_SHARE * (toe - heel))

    def _spine(self, t: float) -> float:
        low = angle_deg(self.point("mid_hip", t), self.point("mid_back", t))
        return float(low - angle_deg(self.point("mid_back", t), self.point("neck", t)))

    def events(self) -> Json:
        """Event times in s of film time; those after the film's end are left out."""
        s = self.motion.schedule
        return {
            "first_movement_s": self.rest_s,
            "rear_toe_off_s": s.rear_toe_off_s + self.rest_s,
            "front_toe_off_s": s.front_toe_off_s + self.rest_s,
            "touchdown_s": [float(t) + self.rest_s for t in s.touchdown_s if t <= self.end_s],
            "toe_off_s": [float(t) + self.rest_s for t in s.toe_off_s if t <= self.end_s],
        }

    def start(self) -> Json:
        """The start push and the set position."""
        m, s = self.motion, self.motion.schedule
        front = m.scenario.start.front_side
        off = s.front_toe_off_s
        hip0, hip1 = self.point("mid_hip", BEFORE_S), self.point("mid_hip", off)
        rel0 = self.point("mid_shoulder", BEFORE_S) - hip0
        rel1 = self.point("mid_shoulder", off) - hip1
        forward = abs(float(hip1[0] - hip0[0]))
        turn = float(np.hypot(*(rel1 - rel0)[:2]))
        went = self._crossing("mid_hip", float(hip0[0]) + 0.05)
        vx, vy = float(m.path.flight_speed[0]), float(m.path.climb_off[0])
        tip = float(self.point(f"{front}_toe", BEFORE_S)[0])
        first = float(self.point(f"{other(front)}_toe", float(s.touchdown_s[0]))[0])
        return {
            "front_side": front,
            "rear_foot_push_s": s.rear_toe_off_s,
            "front_foot_push_s": off,
            "first_flight_s": float(s.touchdown_s[0]) - off,
            "front_tip_x_m": tip,
            "first_shoe_tip_x_m": first,
            "first_step_length_from_line_m": first,
            "first_step_length_from_front_tip_m": first - tip,
            "hip_rest_x_m": float(hip0[0]),
            "com_rest_x_m": float(self.point("com", BEFORE_S)[0]),
            "trunk_set_deg": self.trunk(BEFORE_S),
            "trunk_front_toe_off_deg": self.trunk(off),
            "spine_bend_set_deg": self._spine(BEFORE_S),
            "trunk_lead_deg": self.trunk(went) - self.trunk(BEFORE_S),
            "hip_share": forward / (forward + turn),
            "shin_front_toe_off_deg": self._shin(front, off),
            "com_velocity_m_s": [vx, vy],
            "projection_deg": float(np.degrees(np.arctan2(vy, vx))),
            "hip_first_20_mm_s": self._crossing("mid_hip", float(hip0[0]) + 0.02),
        }

    def steps(self) -> list[Json]:
        """One entry a step whose touchdown is filmed; what the film's end cuts off is null."""
        s = self.motion.schedule
        out = []
        for contact in s.contacts[2:]:
            if contact.on_s > self.end_s:
                break
            k, side, on, off = contact.step, contact.side, contact.on_s, contact.off_s
            com = self.point("com", on)
            step: Json = {
                "step": k,
                "side": side,
                "touchdown_s": on + self.rest_s,
                "shoe_tip_x_m": float(self.point(f"{side}_toe", on)[0]),
                "touchdown_distance_m": self._ball(side, on) - float(com[0]),
                "shin_touchdown_deg": self._shin(side, on),
                "trunk_touchdown_deg": self.trunk(on),
                "com_height_touchdown_m": float(com[1]),
                "knee_gap_touchdown_m": float(
                    self.point(f"{other(side)}_knee", on)[0] - self.point(f"{side}_knee", on)[0]
                ),
            }
            if off <= self.end_s:
                after = self.point("com", off)
                step |= {
                    "toe_off_s": off + self.rest_s,
                    "contact_s": off - on,
                    "toe_off_distance_m": self._ball(side, off) - float(after[0]),
                    "shin_toe_off_deg": self._shin(side, off),
                    "trunk_toe_off_deg": self.trunk(off),
                    "com_height_toe_off_m": float(after[1]),
                }
            if k < len(s.touchdown_s) and float(s.touchdown_s[k]) <= self.end_s:
                step |= self._whole_step(k, side, on, off, float(s.touchdown_s[k]), com)
            out.append(step)
        return out

    def _whole_step(self, k: int, side: Side, on: float, off: float, until: float, com: Array) -> Json:
        time = until - on
        length = float(self.point(f"{other(side)}_toe", until)[0] - self.point(f"{side}_toe", on)[0])
        hip = float(self.point("mid_hip", until)[0] - self.point("mid_hip", on)[0])
        model = self.motion.path.model
        return {
            "flight_s": until - off,
            "step_time_s": time,
            "step_frequency_hz": 1.0 / time,
            "step_length_m": length,
            "step_velocity_hip_m_s": hip / time,
            "step_velocity_com_m_s": float(self.point("com", until)[0] - com[0]) / time,
            "foot_to_foot_speed_m_s": length / time,
            "model_step_velocity_m_s": float(model.position(until) - model.position(on)) / time,
            "com_flight_velocity_m_s": float(self.motion.path.flight_speed[k]),
        }

    def marks(self, places: tuple[float, ...]) -> list[Json]:
        """Splits and speeds where hip centre and centre of mass pass each place (m)."""
        out = []
        for x in places:
            row: Json = {"x_m": x}
            for label, name in (("hip", "mid_hip"), ("com", "com")):
                t = self._crossing(name, x)
                step = self._step_time(t)
                travel = float(self.point(name, t + step / 2)[0] - self.point(name, t - step / 2)[0])
                row[label] = {
                    "split_s": t,
                    "split_from_front_toe_off_s": t - self.motion.schedule.front_toe_off_s,
                    "step_averaged_m_s": travel / step,
                    "model_m_s": float(self.motion.path.model.speed(t)),
                }
            out.append(row)
        return out

    def model(self) -> Json:
        """The curve that the centre of mass follows from touchdown to touchdown."""
        m = self.motion.path.model
        return {
            "vmax_m_s": m.vmax,
            "tau_s": m.tau,
            "x0_m": m.x0,
            "start_after_first_movement_s": m.start,
            "g_m_s2": G,
        }

    def _step_time(self, t: float) -> float:
        on = self.motion.schedule.touchdown_s
        k = int(np.clip(np.searchsorted(on, t) - 1, 0, len(on) - 2))
        return float(on[k + 1] - on[k])

    def _crossing(self, name: str, x: float) -> float:
        grid, pose = self._coarse
        crossing = 0.0
        for _ in range(5):
            along = pose.com[:, 0] if name == "com" else pose.points[name][:, 0]
            i = max(int(np.argmax(along > x)), 1)
            share = float((x - along[i - 1]) / (along[i] - along[i - 1]))
            crossing = float(grid[i - 1] + share * (grid[i] - grid[i - 1]))
            grid = np.linspace(grid[i - 1], grid[i], 24)
            pose = self.motion.at(grid)
        return crossing

    @cached_property
    def _coarse(self) -> tuple[Array, Pose]:
        """The whole run at 160 moments, in which crossings are looked for first."""
        grid = np.linspace(0.0, self.end_s, 160)
        return grid, self.motion.at(grid)
