"""Runs with known faults, marked as a coach marks them: what a bench holds first cause and breaks against.

The body is the sample renderer's, asked for its joints at the frames that a coach places; nothing is drawn,
and nothing comes from ``analysis`` but the plain values of a run and, where it is asked for, an own pattern.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import numpy.typing as npt

from analysis.reading import read
from analysis.reading.patterns import own_pattern
from analysis.values.bands import Band, BandOrigin, BandTable
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.posture import Moment
from analysis.values.questions import Question
from analysis.values.run import POINT_NAMES, Athlete, BodyPoint, Footfall, GroundMark, Run, Side, StartPush
from analysis.values.starting_bands import bands_for
from sample_clips.camera import Camera, cameras_of
from sample_clips.motion import Motion
from sample_clips.scenario import Scenario
from sample_clips.scenarios import WING_DAY1, WING_DAY2
from sample_clips.scene import CONES_X_M, POLE_HEIGHT_M, POLES_X_M
from tests.bench.coverage_truth import CLICK_PX, JUDGED_S

Floats = npt.NDArray[np.float64]

LATE_STEPS = (2, 3)
LATE_THIGH_DEG = -15.0
"""The swing leg's thigh at the touchdown of a late step: its knee then trails by 0.4 m, else by some 0.13."""
FIRST_GOOD = 100
"""Seeds of the good runs of an own pattern."""
FAR_STEPS = (2, 3)
FAR_M = 0.15
LONG_STEP = 3
LONG_S = 0.040
LONG_M, LONG_PITCH_DEG, LONG_SINK_M, LONG_SPEED = 0.08, 18.0, 0.07, 0.95
"""A longer contact begins so much further in front, and ends with the heel so much higher and the body so
much lower, in a run of so much of the speed: else the leg would not reach from its beginning to its end."""

_FOOT = ("touchdown_distance_m", Moment.TOUCHDOWN)
OWN_BANDS = BandTable(
    "own",
    "Close to this athlete",
    1,
    BandOrigin.COACH,
    (Band(*_FOOT, 2, 2, -0.10, 0.05, "the coach"), Band(*_FOOT, 3, 3, -0.05, 0.13, "the coach")),
)
"""Bands that a coach might set around what this figure does, which is 2 cm and 9 cm."""


@dataclass(frozen=True)
class Fault:
    """What was put in. ``first``: the question where it begins; ``own_bands``: judged by the coach's;
    ``pattern``: judged by the own pattern of so many good runs.
    """

    name: str
    first: Question | None
    opens: bool = False
    far: bool = False
    late: bool = False
    long: bool = False
    own_bands: bool = False
    pattern: int = 0

    @property
    def breaks(self) -> frozenset[int]:
        """The second step of the break of contact time that was put in."""
        return frozenset({LONG_STEP}) if self.long else frozenset()


NOTHING = Fault("nothing wrong", None)
NOTHING_BY_PATTERN = Fault("nothing wrong, own pattern of eight good runs", None, pattern=8)
FAULTS = (
    Fault("the trunk opens first", Question.LAUNCH, opens=True),
    Fault("the foot 15 cm further in front on two steps, starting bands", Question.STRIKE, far=True),
    Fault("the same, the coach's own bands", Question.STRIKE, far=True, own_bands=True),
    Fault("the same, own pattern of eight good runs", Question.STRIKE, far=True, pattern=8),
    Fault("late swap on two steps", Question.SWAP, late=True),
    Fault("one contact 40 ms longer", Question.RHYTHM, long=True),
    Fault("the trunk opens first, and one contact 40 ms longer", Question.LAUNCH, opens=True, long=True),
    Fault("late swap, and the foot further in front", Question.SWAP, late=True, far=True),
)


def scenario_of(seed: int, fault: Fault, rate: int) -> Scenario:
    """A run of the sample figure that varies by its seed, with these faults and no other."""
    rng = np.random.default_rng([seed, 7])
    base = WING_DAY2.steps
    contact = np.array(base.contact_s) * rng.uniform(0.97, 1.04) + rng.normal(0, 0.0005, len(base.contact_s))
    contact = -np.sort(-contact)
    flight = np.sort(np.array(base.flight_s) * rng.uniform(0.95, 1.05))
    distance = np.array(base.touchdown_distance_m) + rng.normal(0, 0.006, len(contact))
    pitch, height = np.array(base.foot_pitch_toe_off_deg), np.array(base.com_height_toe_off_m)
    if fault.long:
        contact[LONG_STEP - 1] += LONG_S
        distance[LONG_STEP - 1] += LONG_M
        pitch[LONG_STEP - 1] += LONG_PITCH_DEG
        height[LONG_STEP - 1] -= LONG_SINK_M
    if fault.far:
        distance[[step - 1 for step in FAR_STEPS]] += FAR_M
    thigh = np.array(base.swing_thigh_touchdown_deg)
    if fault.late:
        thigh[[step - 1 for step in LATE_STEPS]] = LATE_THIGH_DEG
    start = WING_DAY1.start if fault.opens else WING_DAY2.start
    start = replace(
        start,
        front_side="left" if rng.random() < 0.5 else "right",
        trunk_set_deg=start.trunk_set_deg + float(rng.uniform(-2, 2)),
    )
    steps = replace(
        base,
        contact_s=tuple(map(float, contact)),
        flight_s=tuple(map(float, flight)),
        touchdown_distance_m=tuple(map(float, distance)),
        swing_thigh_touchdown_deg=tuple(map(float, thigh)),
        foot_pitch_toe_off_deg=tuple(map(float, pitch)),
        com_height_toe_off_m=tuple(map(float, height)),
        trunk_deg=WING_DAY1.steps.trunk_deg if fault.opens else base.trunk_deg,
    )
    picture = replace(WING_DAY2.picture, fps=float(rate), frames=3 * rate)
    return replace(
        WING_DAY2,
        seed=seed,
        start=start,
        steps=steps,
        picture=picture,
        rest_s=WING_DAY2.rest_s + float(rng.uniform(0, 1 / rate)),
        vmax_m_s=8.6 * float(rng.uniform(0.97, 1.02)) * (LONG_SPEED if fault.long else 1.0),
    )


class _Marked:
    """One run as a coach marks it; ``errors``: times the usual size of the coach's errors."""

    def __init__(
        self, scenario: Scenario, fault: Fault, rng: np.random.Generator, errors: float = 1.0
    ) -> None:
        self.scenario, self.fault, self.rng, self.errors = scenario, fault, rng, errors
        self.motion = Motion(scenario)
        picture = scenario.picture
        self.times = np.arange(picture.frames) / picture.fps
        self.camera: Camera = cameras_of(scenario, self.times[:1], np.zeros(1))[0]
        self.schedule = self.motion.schedule

    def tag(self, event_s: float) -> int:
        """The first frame at or after an event, as it is judged; the film's length beyond its end."""
        judged = event_s + self.scenario.rest_s + self.rng.normal(0, JUDGED_S) * self.errors
        return int(np.searchsorted(self.times, judged - 1e-9))

    def clicked(self, world: Floats) -> list[list[float]]:
        """Places (n, 3) in the picture, each off by a click's error."""
        off = self.rng.normal(0, CLICK_PX, (len(world), 2)) * self.errors
        seen: Floats = self.camera.project(world) + off
        return seen.tolist()

    def evidence(self) -> Evidence:
        last = len(self.times)
        schedule = self.schedule
        contacts = [(c, self.tag(c.on_s), self.tag(c.off_s)) for c in schedule.contacts[2:]]
        # the last step's other leg lands nowhere, so nothing is known of its swing
        contacts = [(c, on, off) for c, on, off in contacts[:-1] if off < last]
        footfalls = [
            Footfall(f"f{c.step:02d}", Side(c.side), FrameNumber(on), FrameNumber(off))
            for c, on, off in contacts
        ]
        first, rear, front = (self.tag(t) for t in (0.0, schedule.rear_toe_off_s, schedule.front_toe_off_s))
        rate = self.scenario.picture.fps
        rest = [first - 1 - round(n * 0.05 * rate) for n in range(4)]
        push = range(first, front, max(1, round(rate / 30)))
        events = [front, *(frame for _, on, off in contacts for frame in (on, off))]
        frames = sorted({*rest, *push, *events, *(frame - 1 for frame in events)})
        points = self._points(frames)
        athlete = self.scenario.athlete
        run = Run(
            id="run",
            film_id="film",
            name="",
            first_frame=FrameNumber(0),
            last_frame=FrameNumber(last - 1),
            camera_distance_m=self.scenario.camera.distance_m,
            start=StartPush(
                FrameNumber(first),
                FrameNumber(rear),
                FrameNumber(front),
                Side(self.scenario.start.front_side),
            ),
            marks=self._marks(),
            footfalls=tuple(footfalls),
            points=points,
            conditions=Conditions(stance=Stance.SPLIT),
        )
        facts = FilmFacts(FrameTimes.from_seconds(self.times.tolist()), 1280, 720)
        who = Athlete("a", "W7", "male", athlete.stature_m, athlete.mass_kg, AgeGroup.ADULT)
        tables = [OWN_BANDS] if self.fault.own_bands else []
        if self.fault.pattern:
            tables.append(pattern_of(self.fault.pattern, round(rate)))
        bands = bands_for(run, who, tables)
        return Evidence(run, facts, who, bands=bands)

    def _marks(self) -> tuple[GroundMark, ...]:
        places = [(x, 0.0) for x in CONES_X_M] + [(x, POLE_HEIGHT_M) for x in POLES_X_M]
        seen = self.clicked(np.array([[x, y, 0.0] for x, y in places]))
        found = []
        for n, ((x, y), (u, v)) in enumerate(zip(places, seen, strict=True)):
            if 0 <= u < 1280 and 0 <= v < 720:
                found.append(GroundMark(f"m{n}", x, y, FrameNumber(0), u, v))
        return tuple(found)

    def _points(self, frames: list[int]) -> tuple[BodyPoint, ...]:
        seconds = self.times[frames] - self.scenario.rest_s
        pose = self.motion.at(seconds)
        points: list[BodyPoint] = []
        for row, frame in enumerate(frames):
            body = {name: pose.points[name][row] for name in POINT_NAMES}
            seen = self.clicked(np.stack(list(body.values())))
            points += [BodyPoint(FrameNumber(frame), n, *uv) for n, uv in zip(body, seen, strict=True)]
        return tuple(points)


def simulate(seed: int, fault: Fault, rate: int = 240, errors: float = 1.0) -> Evidence:
    """A run with a fault, filmed at a rate and marked; ``errors`` 0: without any, though a reading does not
    know that.
    """
    rng = np.random.default_rng([seed, 8])
    return _Marked(scenario_of(seed, fault, rate), fault, rng, errors).evidence()


@cache
def pattern_of(runs: int, rate: int) -> BandTable:
    """The own pattern of so many runs in which nothing is wrong."""
    readings = [read(simulate(FIRST_GOOD + n, NOTHING, rate)) for n in range(runs)]
    return own_pattern(readings, "pattern", "Own pattern", None)
