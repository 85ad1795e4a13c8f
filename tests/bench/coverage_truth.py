"""Random runs with known truth, marked as a coach marks them: what a coverage bench holds readings against.

Nothing here comes from ``analysis`` but the plain values of a run and, where a coach tags a run twice, what
the program makes of that. The truth is not what the reading assumes:
the speed curve is bent away from one exponential, the swing within a step is no sinusoid, the pelvis turns,
the athlete runs beside the line, feet land at uneven distances from it, cones stand a little off, the camera
is tilted and rolled, and every tag is judged with an error of its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt
from scipy.interpolate import PchipInterpolator

from analysis.steps.retagging import tagging_error
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import (
    BodyPoint,
    Footfall,
    GroundMark,
    Line,
    LineKind,
    Run,
    Side,
    StartPush,
)
from analysis.values.tagging import TaggingError
from tests.analysis.ground.pinhole import Pinhole
from tests.bench.natures import NATURAL, Nature

Floats = npt.NDArray[np.float64]

CLICK_PX = 1.5
"""Error of every click, px, normal: as large as the program takes it to be."""
JUDGED_S = 0.0029
"""How far off the time is at which a coach takes a foot to land or leave, s, normal: at 240 a second four
tags of ten are a frame or more off, at 30 one of fourteen."""
CONTACT_S = (0.100, 0.240)
FLIGHT_S = (0.020, 0.160)
"""Usual contact and flight of a run, drawn from ranges wider than four frames at 30 a second."""
REPORT_M = 10.0


@dataclass
class Simulated:
    """A run as marked, and its ``truth``: name of a measure to its true values, step by step."""

    evidence: Evidence
    truth: dict[str, list[float]] = field(default_factory=dict)


@dataclass(frozen=True)
class Tagging:
    """How a coach tags. ``judged_s``: sd of the judged time; ``whole_frames``: whether on top each tag is a
    whole frame early, right, or a whole frame late, a third of the time each; ``unsure_frames``: what the
    coach says of it; ``twice``: how many of the first contacts are tagged a second time, blind, so that the
    coach's own error goes with the evidence as the program measures it; all also has the start's events.
    """

    judged_s: float = JUDGED_S
    whole_frames: bool = False
    unsure_frames: int | None = None
    twice: int = 0


ALL = 99
"""More contacts than a run has: with its start, some twenty-five events."""
USUAL = Tagging()


class Body:
    """The truth of one run: where hip and joints are at any time."""

    def __init__(self, rng: np.random.Generator, nature: Nature) -> None:
        self.nature = nature
        self.vmax, self.tau = rng.uniform(6.5, 10.0), rng.uniform(0.8, 1.4)
        self.start, self.rest = rng.uniform(0.25, 0.4), rng.uniform(-0.45, -0.05)
        self.bend = rng.uniform(0.92, 1.08)
        self.t = np.arange(0.0, 6.0, 0.001)
        s = np.maximum(self.t - self.start, 0.0)
        self.v = self.vmax * -np.expm1(-((s / self.tau) ** self.bend))
        self.x = self.rest + np.concatenate([[0.0], np.cumsum((self.v[1:] + self.v[:-1]) / 2 * 0.001)])
        self.downs, self.offs = self._events(rng)
        self._make_uneven(rng)
        self.steps = len(self.downs)
        self.first_side = Side.LEFT if rng.random() < 0.5 else Side.RIGHT
        self.swing = nature.swing(rng)
        self.wobble = nature.wobble(rng, self.t)
        self.pelvis_rad, self.pelvis_shift = math.radians(rng.uniform(3.0, 8.0)), rng.uniform(0, 2 * math.pi)

    def _events(self, rng: np.random.Generator) -> tuple[Floats, Floats]:
        contact, flight = rng.uniform(*CONTACT_S), rng.uniform(*FLIGHT_S)
        at = self.start + rng.uniform(0.35, 0.50)
        self.front_off = at
        self.rear_off = at - rng.uniform(0.10, 0.18)
        at += rng.uniform(0.03, 0.09)
        downs, offs = [], []
        for k in range(40):
            downs.append(at)
            at += contact * (1.0 + 0.12 * math.exp(-k / 3)) + rng.normal(0, 0.004)
            offs.append(at)
            at += max(0.01, flight * (1.0 - 0.25 * math.exp(-k / 3)) + rng.normal(0, 0.004))
            if self.base(np.array([downs[-1]]))[0] > REPORT_M + 2.6:
                break
        return np.array(downs), np.array(offs)

    def _make_uneven(self, rng: np.random.Generator) -> None:
        """Steps are not alike: the speed strays smoothly from the curve, by some cm/s from step to step."""
        spots = np.concatenate([self.downs[:1] - 0.3, self.downs, self.downs[-1:] + 0.5])
        stray = PchipInterpolator(
            spots, np.concatenate([[0.0], rng.normal(0, self.nature.uneven_m_s, len(spots) - 1)])
        )
        inside = (self.t > spots[0]) & (self.t < spots[-1])
        self.v = self.v + np.where(inside, stray(np.clip(self.t, spots[0], spots[-1])), 0.0)
        self.x = self.rest + np.concatenate([[0.0], np.cumsum((self.v[1:] + self.v[:-1]) / 2 * 0.001)])

    def base(self, t: Floats) -> Floats:
        """Place without the swing, m."""
        return np.interp(t, self.t, self.x)

    def phase(self, t: Floats) -> Floats:
        """Steps since the first touchdown."""
        count = np.arange(len(self.downs), dtype=np.float64)
        out = np.interp(t, self.downs, count)
        first, last = np.diff(self.downs)[[0, -1]]
        return out + np.minimum(0, t - self.downs[0]) / first + np.maximum(0, t - self.downs[-1]) / last

    def hip(self, t: Floats) -> Floats:
        """The hip centre along the line: base, and what repeats every step or wobbles."""
        fade = np.clip((t - self.downs[0] + 0.1) / 0.1, 0.0, 1.0)
        return self.base(t) + (self.swing(self.phase(t)) + np.interp(t, self.t, self.wobble)) * fade

    def turn(self, t: Floats) -> Floats:
        """How far the pelvis is turned, rad; left and right by turns."""
        fade = np.clip((t - self.start) / 0.3, 0.0, 1.0)
        return self.pelvis_rad * fade * np.cos(np.pi * self.phase(t) + self.pelvis_shift)


class Filming:
    """Where the camera stood, what it saw, and how it was clicked."""

    def __init__(self, rng: np.random.Generator, rate: int) -> None:
        self.rng, self.rate = rng, rate
        self.width, self.height = (1280, 720) if rng.random() < 0.5 else (1920, 1080)
        share, field_m = rng.uniform(0.65, 1.05), rng.uniform(14.5, 16.5)
        self.distance = share * field_m
        self.camera = Pinhole(
            distance_m=self.distance,
            x_m=rng.uniform(5.0, 7.0),
            height_m=rng.uniform(0.8, 1.8),
            turn_deg=rng.uniform(-4.0, 4.0),
            tilt_deg=rng.uniform(-3.0, 3.0),
            roll_deg=rng.uniform(-3.0, 3.0),
            focal_px=share * self.width,
            width=self.width,
            height=self.height,
        )
        self.phase_s = rng.uniform(0.0, 1.0 / rate)

    def seen(self, places: Floats) -> Floats:
        """Clicks on places (n, 3): along, up, towards the camera."""
        exact = self.camera.pixels(places)
        out: Floats = exact + self.rng.normal(0, CLICK_PX, exact.shape)
        return out

    def tag(self, time_s: float, tagging: Tagging) -> int:
        """The frame on which an event is tagged: the first at or after the judged time."""
        judged = time_s + self.rng.normal(0, tagging.judged_s)
        frame = math.ceil((judged - self.phase_s) * self.rate)
        return frame + int(self.rng.integers(-1, 2)) if tagging.whole_frames else frame

    def time(self, frame: int | npt.NDArray[np.int64]) -> Floats:
        """True time of a frame; the film's own clock begins with frame 0."""
        return np.asarray(frame) / self.rate + self.phase_s


def simulate(seed: int, rate: int, tagging: Tagging = USUAL, nature: Nature = NATURAL) -> Simulated:
    """One run filmed at ``rate`` frames a second; the same seed gives the same run."""
    rng = np.random.default_rng([seed, rate])
    return _filmed(rng, Body(rng, nature), Filming(rng, rate), tagging, nature)


def simulate_day(seed: int, rate: int, runs: int) -> list[Simulated]:
    """Runs of one athlete's day before one camera that was not moved: all are read by the marks of the first,
    clicked once, and by the distance that was measured once.
    """
    rng = np.random.default_rng([seed, rate, runs])
    film = Filming(rng, rate)
    made = []
    for _ in range(runs):
        film.phase_s = rng.uniform(0.0, 1.0 / rate)
        made.append(_filmed(rng, Body(rng, NATURAL), film, USUAL, NATURAL))
    first = made[0].evidence.run
    for one in made:
        lent = replace(one.evidence.run, marks=first.marks, camera_distance_m=first.camera_distance_m)
        one.evidence = replace(one.evidence, run=lent)
    return made


def _filmed(
    rng: np.random.Generator, body: Body, film: Filming, tagging: Tagging, nature: Nature
) -> Simulated:
    rate = film.rate
    downs, offs, push = _tagged(body, film, tagging)
    sides = [body.first_side if k % 2 == 0 else body.first_side.other for k in range(body.steps)]
    lane = nature.lane(rng)
    truth: dict[str, list[float]] = {}
    points = _hips(rng, body, film, lane, downs, offs)
    points += _shoes(rng, body, film, lane, sides, downs, offs, truth)
    lines = _lines(rng, body, film, lane, sides, downs, offs, truth)
    _time_truth(body, truth)
    last = max(offs) + math.ceil(0.3 * rate)
    run = Run(
        id="run",
        film_id="film",
        name="run",
        first_frame=FrameNumber(0),
        last_frame=FrameNumber(last),
        camera_distance_m=film.distance * (1 + rng.normal(0, 0.03)) if rng.random() < 0.5 else None,
        report_at_m=(5.0, REPORT_M),
        start=push,
        marks=_marks(rng, film),
        footfalls=_footfalls(sides, downs, offs, tagging),
        points=tuple(points),
        lines=tuple(lines),
    )
    times = FrameTimes.from_seconds([n / rate for n in range(last + 1)])
    facts = FilmFacts(times, film.width, film.height)
    own = _own_error(run, times, body, film, tagging) if tagging.twice else None
    return Simulated(Evidence(run, facts, tagging=own), truth)


def _tagged(body: Body, film: Filming, tagging: Tagging) -> tuple[list[int], list[int], StartPush]:
    """Touchdowns, toe-offs and the start as they are tagged once."""
    downs = [film.tag(t, tagging) for t in body.downs]
    offs = [max(film.tag(t, tagging), down + 1) for t, down in zip(body.offs, downs, strict=True)]
    movement = film.tag(body.start, tagging)
    front = film.tag(body.front_off, tagging)
    rear = min(film.tag(body.rear_off, tagging), front)
    side = body.first_side.other
    return downs, offs, StartPush(FrameNumber(movement), FrameNumber(rear), FrameNumber(front), side)


def _footfalls(
    sides: list[Side], downs: list[int], offs: list[int], tagging: Tagging
) -> tuple[Footfall, ...]:
    return tuple(
        Footfall(f"f{k}", side, FrameNumber(down), FrameNumber(off), tagging.unsure_frames)
        for k, (side, down, off) in enumerate(zip(sides, downs, offs, strict=True))
    )


def _own_error(
    run: Run, times: FrameTimes, body: Body, film: Filming, tagging: Tagging
) -> TaggingError | None:
    """What the program learns of the coach where the run's first contacts are tagged once more."""
    downs, offs, push = _tagged(body, film, tagging)
    falls = _footfalls([fall.side for fall in run.footfalls], downs, offs, tagging)[: tagging.twice]
    whole = tagging.twice >= len(run.footfalls)
    second = replace(run, footfalls=falls, start=push if whole else StartPush())
    first = replace(run, footfalls=run.footfalls[: tagging.twice])
    found = tagging_error(first, second, times)
    return None if isinstance(found, NoValue) else found


def _marks(rng: np.random.Generator, film: Filming) -> tuple[GroundMark, ...]:
    """Cones along the line, in half of the films with two poles of 1.5 m; each stands 5 mm off."""
    along = [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0)]
    along += [(2.5, 0.0), (7.5, 0.0), (12.0, 0.0)] if rng.random() < 0.5 else [(12.0, 0.0)]
    if rng.random() < 0.5:
        along += [(0.0, 1.5), (10.0, 1.5)]
    stands = np.array([(x + rng.normal(0, 0.005), y, rng.normal(0, 0.005)) for x, y in along])
    return tuple(
        GroundMark(f"m{n}", x, y, FrameNumber(0), float(u), float(v))
        for n, ((x, y), (u, v)) in enumerate(zip(along, film.seen(stands), strict=True))
    )


def _hips(
    rng: np.random.Generator,
    body: Body,
    film: Filming,
    lane: float,
    downs: list[int],
    offs: list[int],
) -> list[BodyPoint]:
    """Hips on the tagged frames, in a third of the films on every frame; both, or the near one alone."""
    frames = sorted({*downs, *offs})
    if rng.random() < 1 / 3:
        frames = list(range(min(downs) - round(0.3 * film.rate), max(offs) + round(0.1 * film.rate)))
    t = film.time(np.array(frames))
    aside, turned = rng.uniform(0.07, 0.11), body.turn(t)
    sides = [Side.RIGHT] if rng.random() < 0.5 else [Side.LEFT, Side.RIGHT]
    height = 0.92 + 0.03 * np.cos(2 * np.pi * body.phase(t))
    skin = rng.normal(0, 0.02, 2)  # the joint's place under the clothes, the same in every frame
    found = []
    for side in sides:
        near = 1.0 if side is Side.RIGHT else -1.0
        places = np.column_stack(
            [
                body.hip(t) + near * aside * np.sin(turned) + skin[0],
                height + skin[1],
                lane + near * aside * np.cos(turned),
            ]
        )
        for frame, (u, v) in zip(frames, film.seen(places), strict=True):
            found.append(BodyPoint(FrameNumber(frame), f"{side.value}_hip", float(u), float(v)))
    return found


def _shoes(
    rng: np.random.Generator,
    body: Body,
    film: Filming,
    lane: float,
    sides: list[Side],
    downs: list[int],
    offs: list[int],
    truth: dict[str, list[float]],
) -> list[BodyPoint]:
    """A shoe's tip once or three times in the middle of each contact; feet 5 to 15 cm beside the line."""
    clicks = 1 if rng.random() < 0.5 else 3
    beside = rng.uniform(0.05, 0.15)
    middle = (body.downs + body.offs) / 2
    tips = body.base(middle) + 0.12 + 0.12 * (1 - np.exp(-np.arange(body.steps) / 3))
    tips += rng.normal(0, 0.03, body.steps)
    found = []
    for k, side in enumerate(sides):
        near = 1.0 if side is Side.RIGHT else -1.0
        aside = lane + near * beside + body.nature.foot(rng)
        length = offs[k] - downs[k]
        used = {downs[k] + round(length * share) for share in (0.5, 0.35, 0.65)[:clicks]}
        for frame in sorted(f for f in used if f < offs[k]):
            place = np.array([[tips[k], 0.03, aside]])
            u, v = film.seen(place)[0]
            found.append(BodyPoint(FrameNumber(frame), f"{side.value}_toe", float(u), float(v)))
    truth["step_length_m"] = np.diff(tips).tolist()
    truth["foot_to_foot_speed_m_s"] = (np.diff(tips) / np.diff(body.downs)).tolist()
    truth["first_step_length_m"] = [float(tips[0])]
    return found


def _lines(
    rng: np.random.Generator,
    body: Body,
    film: Filming,
    lane: float,
    sides: list[Side],
    downs: list[int],
    offs: list[int],
    truth: dict[str, list[float]],
) -> list[Line]:
    """Shin and trunk lines on the tagged frames, in half of the films on the frame before as well."""
    spots = (0, -1) if rng.random() < 0.5 else (0,)
    skin = {side: rng.normal(0, 0.01, (2, 2)) for side in Side}
    trunk_skin = rng.normal(0, 0.02, (2, 2))
    beside = rng.uniform(0.05, 0.15)
    found: list[Line] = []

    def draw(kind: LineKind, side: Side | None, frame: int, event: float, k: int, turning: Turning) -> None:
        near = 0.0 if side is None else 1.0 if side is Side.RIGHT else -1.0
        for spot in spots:
            t = float(film.time(frame + spot))
            angle = math.radians(turning.at(t - event))
            along = np.array([math.cos(angle), math.sin(angle)])
            x, hip = float(body.base(np.array([t]))[0]), kind is LineKind.TRUNK
            lower = np.array([x, 0.92 if hip else 0.10])
            upper = lower + (0.50 if hip else 0.43) * along
            frame_of_segment = np.array([along, [-along[1], along[0]]])
            off = trunk_skin if hip else skin[side or Side.LEFT]
            ends = np.array([lower, upper]) + off @ frame_of_segment
            seen = film.seen(np.column_stack([ends, np.full(2, lane + near * beside)]))
            found.append(
                Line(
                    f"{kind.value}{k}{frame + spot}",
                    FrameNumber(frame + spot),
                    kind,
                    side,
                    (float(seen[0, 0]), float(seen[0, 1])),
                    (float(seen[1, 0]), float(seen[1, 1])),
                )
            )

    for name in ("shin_touchdown_deg", "shin_toe_off_deg", "trunk_touchdown_deg"):
        truth[name] = []
    for k, side in enumerate(sides):
        shin_down = Turning(rng.uniform(45, 60) + 3 * min(k, 8), *body.nature.shin_down(rng))
        shin_off = Turning(rng.uniform(32, 42) + min(k, 8), *body.nature.shin_off(rng))
        trunk = Turning(rng.uniform(40, 50) + 4 * min(k, 8), *rng.uniform(-80, 80, 2))
        draw(LineKind.SHIN, side, downs[k], body.downs[k], k, shin_down)
        draw(LineKind.SHIN, side, offs[k], body.offs[k], k, shin_off)
        draw(LineKind.TRUNK, None, downs[k], body.downs[k], k, trunk)
        truth["shin_touchdown_deg"].append(shin_down.angle)
        truth["shin_toe_off_deg"].append(shin_off.angle)
        truth["trunk_touchdown_deg"].append(trunk.angle)
    return found


@dataclass(frozen=True)
class Turning:
    """A segment about an event: ``angle`` in deg there; ``before`` and ``after``: its turn in deg/s, the
    one passing into the other within some 20 ms.
    """

    angle: float
    before: float
    after: float

    def at(self, s: float) -> float:
        """Angle in deg ``s`` s after the event."""
        soft = 0.008
        bent = soft * (np.logaddexp(0.0, s / soft) - math.log(2.0))
        return float(self.angle + self.before * s + (self.after - self.before) * bent)


def _time_truth(body: Body, truth: dict[str, list[float]]) -> None:
    truth["contact_s"] = (body.offs - body.downs).tolist()
    truth["flight_s"] = (body.downs[1:] - body.offs[:-1]).tolist()
    truth["step_time_s"] = np.diff(body.downs).tolist()
    hips = body.hip(body.downs)
    truth["step_velocity_m_s"] = (np.diff(hips) / np.diff(body.downs)).tolist()
    for name, x_m in (("5", 5.0), ("10", REPORT_M)):
        along = body.hip(body.t)
        passed = float(body.t[np.flatnonzero(along <= x_m)[-1]])
        fine = passed + np.arange(0.0, 0.0012, 1e-5)
        passed = float(np.interp(x_m, body.hip(fine), fine))
        truth[f"split_{name}_s"] = [passed - body.start]
        truth[f"front_split_{name}_s"] = [passed - body.front_off]
        about, half = float(np.interp(x_m, body.x, body.t)), float(np.median(np.diff(body.downs))) / 2
        ends = body.base(np.array([about - half, about + half]))
        truth[f"speed_{name}_m_s"] = [float(ends[1] - ends[0]) / (2 * half)]
    truth["front_foot_push_s"] = [body.front_off - body.start]
