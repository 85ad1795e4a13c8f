"""The whole body over time, with the centre of mass of the drawn segments on its prescribed path."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from sample_clips.body import Array, Lengths, centre_of_mass, lengths_of
from sample_clips.com_path import ComPath, com_path_of, smooth
from sample_clips.events import Schedule, schedule_of
from sample_clips.legs import (
    FootPlan,
    LegAngles,
    Swing,
    edge_rate,
    edge_times,
    leg_points,
    placed_angles,
    plan_feet,
    stretch,
    swing_between,
    swing_knots,
)
from sample_clips.posture import UpperBody, upper_body
from sample_clips.scenario import SIDES, Scenario, Side

ROUNDS = 60
SETTLED_M = 1e-9


@dataclass(frozen=True)
class Pose:
    """Body points at n times: name to (n, 3) in m, with `mid_hip`, `*_ball`, `*_knuckle`; angles in deg."""

    t: Array
    points: dict[str, Array]
    com: Array
    legs: dict[Side, LegAngles]

    def rows(self, where: slice) -> Pose:
        """The pose at some of the times."""
        points = {name: p[where] for name, p in self.points.items()}
        legs = {
            s: LegAngles(a.thigh[where], a.knee[where], a.ankle[where], a.toes[where])
            for s, a in self.legs.items()
        }
        return Pose(self.t[where], points, self.com[where], legs)


@dataclass(frozen=True)
class Motion:
    """A scenario's motion; `at(times)` gives the pose at any times (s after the first movement)."""

    scenario: Scenario

    @cached_property
    def size(self) -> Lengths:
        return lengths_of(self.scenario.athlete.stature_m)

    @cached_property
    def schedule(self) -> Schedule:
        return schedule_of(self.scenario)

    @cached_property
    def rest_hip(self) -> Array:
        start = self.scenario.start
        front_ball = start.front_tip_x_m - self.size.toes
        return np.array([front_ball - start.hip_behind_front_ball_m, start.hip_height_m, 0.0])

    @cached_property
    def path(self) -> ComPath:
        t = np.array([-1.0])
        com = self._assemble(t, self._upper(t), self.rest_hip[None, :], self._set_feet, {})[1]
        return com_path_of(self.scenario, self.schedule, com[0, :2])

    @cached_property
    def _set_feet(self) -> list[FootPlan]:
        return plan_feet(self.scenario, self.schedule, self.size, np.zeros(len(self.schedule.touchdown_s)))[
            :2
        ]

    @cached_property
    def feet(self) -> list[FootPlan]:
        """One plan a contact, in the schedule's order."""
        on = self.schedule.touchdown_s
        return plan_feet(self.scenario, self.schedule, self.size, self.path.model.position(on))

    @cached_property
    def _edges(self) -> Array:
        times = [np.concatenate(edge_times(plan)) for plan in self.feet]
        flat = np.concatenate(times)
        return np.where(np.isfinite(flat), flat, -1.0)

    @cached_property
    def swings(self) -> dict[Side, list[Swing]]:
        """Each side's swings in order."""
        return self._settle(np.zeros(0))[1]

    def at(self, t: Array) -> Pose:
        """The pose at times (n,) in s after the first movement."""
        t = np.asarray(t, float)
        return self._settle(t, self.swings)[0]

    def _upper(self, t: Array) -> UpperBody:
        return upper_body(self.scenario, self.schedule, self.size, t)

    def _settle(
        self, t: Array, swings: dict[Side, list[Swing]] | None = None
    ) -> tuple[Pose, dict[Side, list[Swing]]]:
        """Moves the pelvis until the segments' centre of mass lies on the path.

        Without given swings the placed stretches' ends are solved along, and the swings taken from them.
        """
        all_t = np.concatenate([t, self._edges]) if swings is None else t
        upper = self._upper(all_t)
        begin, end = self.scenario.start.hips_go_s
        share = smooth((all_t - begin) / (end - begin))[:, None]
        target = self.path.at(all_t)
        pelvis = np.tile(self.rest_hip, (len(all_t), 1))
        pelvis[:, :2] += target - self.path.rest
        found = swings if swings is not None else {}
        points: dict[str, Array] = {}
        com = np.zeros((len(all_t), 3))
        legs: dict[Side, LegAngles] = {}
        for _ in range(ROUNDS):
            if swings is None:
                found = self._swings_from(len(t), pelvis, upper, all_t)
            points, com, legs = self._assemble(all_t, upper, pelvis, self.feet, found)
            step = pelvis.copy()
            step[:, :2] += target - com[:, :2]
            step = share * step + (1.0 - share) * self.rest_hip
            moved = float(np.max(np.abs(step - pelvis), initial=0.0))
            pelvis = step
            if moved < SETTLED_M:
                break
        points, com, legs = self._assemble(all_t, upper, pelvis, self.feet, found)
        return Pose(all_t, points, com, legs).rows(slice(len(t))), found

    def _hip(self, side: Side, pelvis: Array, turn: Array) -> Array:
        sign = 1.0 if side == "right" else -1.0
        z = self.size.hip_z
        return np.asarray(pelvis + sign * z * np.stack([np.sin(turn), 0.0 * turn, np.cos(turn)], -1))

    def _swings_from(
        self, skip: int, pelvis: Array, upper: UpperBody, all_t: Array
    ) -> dict[Side, list[Swing]]:
        ends: dict[int, tuple[Array, Array, Array, Array]] = {}
        for i, plan in enumerate(self.feet):
            rows = slice(skip + 6 * i, skip + 6 * i + 6)
            hip = self._hip(plan.contact.side, pelvis[rows], upper.pelvis_turn[rows])
            a = placed_angles(plan, self.size, all_t[rows], hip).stacked()
            ends[i] = (a[0], edge_rate(a[:3], 1.0), a[3], edge_rate(a[3:], -1.0))
        found: dict[Side, list[Swing]] = {}
        for side in SIDES:
            own = [i for i, plan in enumerate(self.feet) if plan.contact.side == side]
            found[side] = []
            for i, j in pairwise(own):
                leaving, landing = self.feet[i], self.feet[j]
                knots = swing_knots(self.scenario, self.schedule, leaving.contact, landing.contact)
                begin, end = (leaving.end, *ends[i][2:]), (landing.begin, *ends[j][:2])
                found[side].append(swing_between(begin, end, knots))
        return found

    def _assemble(
        self,
        t: Array,
        upper: UpperBody,
        pelvis: Array,
        feet: list[FootPlan],
        swings: dict[Side, list[Swing]],
    ) -> tuple[dict[str, Array], Array, dict[Side, LegAngles]]:
        points = {name: p + pelvis for name, p in upper.points.items()}
        points["mid_hip"] = pelvis
        legs: dict[Side, LegAngles] = {}
        for side in SIDES:
            hip = self._hip(side, pelvis, upper.pelvis_turn)
            table = np.zeros((len(t), 4))
            for plan in feet:
                if plan.contact.side == side:
                    here = (t >= plan.begin) & (t <= plan.end)
                    table[here] = placed_angles(plan, self.size, t[here], hip[here]).stacked()
            for swing in swings.get(side, []):
                here = (t > swing.begin_s) & (t < swing.end_s)
                table[here] = swing.angles(t[here])
            legs[side] = LegAngles(*table.T)
            points[f"{side}_hip"] = hip
            points.update(leg_points(self.size, side, hip, legs[side]))
        return points, centre_of_mass(points), legs


def contacts_at(schedule: Schedule, side: Side, t: Array) -> Array:
    """Whether this foot is on the ground, (n,) of bool."""
    on = np.zeros(len(t), bool)
    for c in schedule.of(side):
        on |= (t >= c.on_s) & (t < c.off_s)
    return on


def _filmed_until(motion: Motion) -> float:
    """End of the film, s after the first movement."""
    scenario = motion.scenario
    return scenario.picture.frames / scenario.picture.fps - scenario.rest_s


def lowest_point(motion: Motion) -> float:
    """Lowest height (m) that a heel or shoe tip reaches in the film."""
    points = motion.at(np.arange(-0.1, _filmed_until(motion), 0.004)).points
    return min(float(points[f"{side}_{name}"][:, 1].min()) for side in SIDES for name in ("heel", "toe"))


def longest_reach(motion: Motion) -> float:
    """Greatest hip-to-ankle distance of any filmed contact, as a share of the straight leg (1 cannot be)."""
    plans = [plan for plan in motion.feet if plan.begin < _filmed_until(motion)]
    times = [np.linspace(max(plan.begin, -0.05), plan.end, 30) for plan in plans]
    points = motion.at(np.concatenate(times)).points
    worst = 0.0
    for i, (plan, t) in enumerate(zip(plans, times, strict=True)):
        hip = points[f"{plan.contact.side}_hip"][30 * i : 30 * i + 30]
        worst = max(worst, float(stretch(motion.size, plan, t, hip).max()))
    return worst
