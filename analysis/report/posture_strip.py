"""The posture strip: the frames of a run's tagged events in one row, at one scale, cropped round the athlete.

Here stands which frames, which part of each picture, and what is written under it; the drawing is elsewhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.ground.ground import Ground
from analysis.ground.view import View
from analysis.reading.drills.whole import IMPLEMENT
from analysis.reading.lock import EventKind, Moment, moments
from analysis.reading.parts import ground_of
from analysis.report.body import middle, spots_on, whole_scene
from analysis.report.scene import Scene
from analysis.report.words import side_letter
from analysis.values.command import Kind
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.film import FrameNumber
from analysis.values.posture import PostureReading
from analysis.values.reading import Reading
from analysis.values.run import Run, Side
from analysis.values.tracks import Tracks
from analysis.values.words import tr

Place = tuple[float, float]
Floats = npt.NDArray[np.float64]

BESIDE_M = 0.85
"""So much is shown at least before and behind the athlete's middle: arms and legs spread (own)."""
ABOVE_GROUND_M, BELOW_GROUND_M = 1.95, 0.15
ABOVE_MIDDLE_M, BELOW_MIDDLE_M = 1.05, 1.05
"""So much is shown at least above and below the ground, without a scale above and below the middle (own)."""
MARGIN_M = 0.15
"""So much is shown round the outermost point (own)."""
STATURE_M = 1.75
"""Without marks the tallest body seen is taken to be as tall, for the margins alone (own)."""
REACH_S = 0.1
"""So long before the athlete's first known place, and after the last one, the nearest serves (own)."""
ANGLES = ("trunk_deg", "shin_deg")
"""What is written under a frame where it is read there."""


@dataclass(frozen=True)
class Box:
    """A part of a picture, px: its left upper corner and its size. It may reach beyond the edge."""

    u: float
    v: float
    width: float
    height: float


@dataclass(frozen=True)
class StripFrame:
    """One frame of the strip. ``side``: whose touchdown or toe-off; ``angles``: read at the event."""

    frame: FrameNumber
    moment: Moment
    side: Side | None
    box: Box
    scene: Scene
    angles: tuple[PostureReading, ...] = ()


@dataclass(frozen=True)
class PostureStrip:
    """Frames in order of time, each showing ``width_m`` by ``height_m`` of the plane of the run; both None
    without a scale, where all show the same number of pixels. ``missing``: names of the events of which
    nothing tells where the athlete is. ``reason``: why there is no frame at all.
    """

    frames: tuple[StripFrame, ...] = ()
    width_m: float | None = None
    height_m: float | None = None
    missing: tuple[str, ...] = ()
    reason: str = ""

    @property
    def shape(self) -> float:
        """Width over height of every frame."""
        return self.frames[0].box.width / self.frames[0].box.height if self.frames else 1.0


def moment_words(moment: Moment, side: Side | None) -> str:
    """What stands over a frame."""
    words = {
        EventKind.FIRST_MOVEMENT: tr("Set position"),
        EventKind.REAR_TOE_OFF: tr("Rear foot off"),
        EventKind.FRONT_TOE_OFF: tr("Front foot off"),
        EventKind.TOUCHDOWN: tr("{step} {side} touchdown"),
        EventKind.TOE_OFF: tr("{step} {side} toe-off"),
    }[moment.kind]
    letter = "" if side is None else side_letter(side)
    return " ".join(words.format(step=moment.step, side=letter).split())


def angle_words(row: PostureReading) -> str:
    """An angle with its 95 % interval, in whole degrees: "trunk 48 ± 3°"."""
    name = {"trunk_deg": tr("trunk"), "shin_deg": tr("shin")}[row.measure]
    if isinstance(row.result, NoValue):
        return name
    return f"{name} {row.result.value:.0f} ± {max(row.result.half_width, 1.0):.0f}°"


def posture_strip(evidence: Evidence, reading: Reading) -> PostureStrip:
    """The strip of a run: the set position, every touchdown and every toe-off, as far as they are tagged."""
    parts = strip_parts(evidence, reading)
    return parts if isinstance(parts, PostureStrip) else parts.strip(parts.reach)


def strip_parts(evidence: Evidence, reading: Reading) -> StripParts | PostureStrip:
    """What a strip is made of; a strip without frames, with the reason, where there is nothing to show."""
    times = evidence.film.times
    tagged = {m: f for m, f in moments(evidence.run, reading).items() if f < len(times)}
    if not tagged:
        return PostureStrip(
            reason=tr("Tag first movement, touchdowns and toe-offs: their frames stand here.")
        )
    framed = framed_at(evidence, tuple(tagged.values()))
    if framed is None:
        return PostureStrip(
            reason=tr("Place hips or body points on the tagged frames: they tell where the athlete is."),
        )
    shown = {m: f for m, f in tagged.items() if f in framed.held}
    missing = tuple(m for m in tagged if m not in shown)
    return StripParts(evidence, reading, shown, missing, framed.held, framed.reach, framed.in_metres)


@dataclass(frozen=True, eq=False)
class StripParts:
    """The frames of a strip by their events, what each of them holds, and how far about it all of them show.

    ``missing``: events of which nothing tells where the athlete is. ``in_metres``: there is a scale.
    """

    evidence: Evidence
    reading: Reading
    shown: Mapping[Moment, int]
    missing: tuple[Moment, ...]
    held: Mapping[int, Hold]
    reach: Reach
    in_metres: bool

    def strip(self, reach: Reach) -> PostureStrip:
        """The strip that shows so much about the athlete in every frame."""
        run, reading = self.evidence.run, self.reading
        sides = {step.step: step.side for step in reading.steps}
        frames = tuple(
            StripFrame(
                FrameNumber(f),
                moment,
                sides.get(moment.step),
                reach.box(self.held[f], self.evidence.film.width),
                _lines(run, reading, f, self.evidence.tracks),
                _angles(reading, moment, sides.get(moment.step)),
            )
            for moment, f in self.shown.items()
        )
        width, height = (reach.width, reach.height) if self.in_metres else (None, None)
        missing = tuple(moment_words(m, sides.get(m.step)) for m in self.missing)
        reason = "" if frames else tr("Place hips on the tagged frames: they tell where the athlete is.")
        return PostureStrip(frames, width, height, missing, reason)


@dataclass(frozen=True)
class Framed:
    """What frames hold, and how far about it all of them show, at one scale; those of which nothing tells
    where the athlete is are left out. ``in_metres``: there is a scale.
    """

    held: Mapping[int, Hold]
    reach: Reach
    in_metres: bool

    def boxes(self, film_width: float) -> dict[int, Box]:
        """Which part of the picture each frame shows."""
        return {frame: self.reach.box(hold, film_width) for frame, hold in self.held.items()}


def framed_at(evidence: Evidence, frames: Sequence[int]) -> Framed | None:
    """The parts of these frames' pictures round the athlete; None where no body stands anywhere."""
    bodies = _bodies(evidence.run, evidence.tracks)
    if not bodies:
        return None
    middles = _Middles(bodies, evidence)
    shown = [frame for frame in frames if middles.near(frame)]
    sizes = _Sizes(evidence, bodies)
    held = {frame: sizes.hold(frame, middles.at(frame)) for frame in shown}
    reach = sizes.reach({frame: bodies[frame] for frame in shown if frame in bodies}, held)
    return Framed(held, reach, sizes.in_metres)


@dataclass(frozen=True)
class _Body:
    """What is known of the body on a frame: its middle, and all its points, (n, 2) px."""

    middle: Place
    points: Floats


def _bodies(run: Run, tracks: Tracks | None) -> dict[int, _Body]:
    frames = {int(p.frame) for p in run.points} | {int(line.frame) for line in run.lines}
    if tracks is not None:
        frames |= set((np.flatnonzero(tracks.standing.any(axis=1)) + int(tracks.first)).tolist())
    found = {frame: _body(run, tracks, frame) for frame in sorted(frames)}
    return {frame: body for frame, body in found.items() if body is not None}


def _body(run: Run, tracks: Tracks | None, frame: int) -> _Body | None:
    spots = spots_on(run, tracks, frame)
    points = [spot.place for spot in spots.values()]
    points += [end for line in run.lines if line.frame == frame for end in (line.lower, line.upper)]
    if not points:
        return None
    points += [(p.u, p.v) for p in run.points if p.frame == frame and p.name == IMPLEMENT]
    hips, known = middle(spots, "hip"), np.array(points)
    return _Body(hips.place if hips is not None else tuple(known.mean(axis=0).tolist()), known)


class _Middles:
    """Where the athlete's middle is on any frame, px: between known frames along a straight line."""

    def __init__(self, bodies: Mapping[int, _Body], evidence: Evidence) -> None:
        self._seconds = evidence.film.times.seconds
        self._frames = np.array(list(bodies))
        self._places = np.array([body.middle for body in bodies.values()])

    def near(self, frame: int) -> bool:
        at = self._seconds[frame]
        first, last = self._seconds[self._frames[0]], self._seconds[self._frames[-1]]
        return bool(first - REACH_S <= at <= last + REACH_S)

    def at(self, frame: int) -> Place:
        u, v = (float(np.interp(frame, self._frames, self._places[:, axis])) for axis in (0, 1))
        return u, v


@dataclass(frozen=True)
class Hold:
    """What lies at the same place of every frame of the strip, px: the ground under the athlete's middle, or
    that middle. ``per_unit``: pixels in a metre there.
    """

    u: float
    v: float
    per_unit: float


@dataclass(frozen=True)
class Reach:
    """How far every frame shows about what it holds, in units of one scale for all."""

    left: float
    right: float
    above: float
    below: float

    @property
    def width(self) -> float:
        """From one edge to the other."""
        return self.left + self.right

    @property
    def height(self) -> float:
        """From the lower edge to the upper one."""
        return self.above + self.below

    def or_more(self, other: Reach) -> Reach:
        """What holds both."""
        return Reach(
            max(self.left, other.left),
            max(self.right, other.right),
            max(self.above, other.above),
            max(self.below, other.below),
        )

    def box(self, hold: Hold, film_width: float) -> Box:
        """The part of a picture; beside the edge it is moved along, as far as the picture goes."""
        width, height = self.width * hold.per_unit, self.height * hold.per_unit
        left = hold.u - self.left * hold.per_unit
        inside = min(max(left, -0.5), film_width - 0.5 - width)
        return Box(
            inside if width <= film_width else left, hold.v - self.above * hold.per_unit, width, height
        )


class _Sizes:
    """How many pixels a metre is on each frame; without a scale, how many the athlete's own are."""

    def __init__(self, evidence: Evidence, bodies: Mapping[int, _Body]) -> None:
        self._view, self._ground = ground_of(evidence)
        heights = [float(np.ptp(body.points[:, 1])) for body in bodies.values()]
        self._plain = max(*heights, evidence.film.height / 4) / STATURE_M

    @property
    def in_metres(self) -> bool:
        return not isinstance(self._ground, NoValue)

    def hold(self, frame: int, middle_px: Place) -> Hold:
        """The ground under the athlete's middle; without a scale the middle itself."""
        u, v = middle_px
        if not isinstance(self._ground, NoValue):
            found = _scale_and_height(self._view, self._ground, frame, middle_px)
            if found is not None:
                per_metre, y = found
                return Hold(u, v + y * per_metre, per_metre)
        return Hold(u, v, self._plain)

    def reach(self, bodies: Mapping[int, _Body], held: Mapping[int, Hold]) -> Reach:
        """What holds every body, and an adult."""
        upright = (ABOVE_GROUND_M, BELOW_GROUND_M) if self.in_metres else (ABOVE_MIDDLE_M, BELOW_MIDDLE_M)
        sides = [BESIDE_M, BESIDE_M, *upright]
        for frame, body in bodies.items():
            hold = held[frame]
            away = (body.points - np.array([hold.u, hold.v])) / hold.per_unit
            low, high = away.min(axis=0), away.max(axis=0)
            for n, far in enumerate((-low[0], high[0], -low[1], high[1])):
                sides[n] = max(sides[n], float(far) + MARGIN_M)
        return Reach(*sides)


def _scale_and_height(view: View, ground: Ground, frame: int, place: Place) -> tuple[float, float] | None:
    """Pixels of the frame in a metre of the plane of the run, from the area that a pixel has there, and how
    high a place is, m; None where the frame can't be tied to it.
    """
    u, v = place
    corners = np.array([(u, v), (u + 1.0, v), (u, v + 1.0)])
    middle_m, across, down = ground.metres(view.straight([frame] * 3, corners))
    area = abs(float(np.linalg.det(np.array([across - middle_m, down - middle_m]))))
    return (area**-0.5, float(middle_m[1])) if np.isfinite(area) and area > 0 else None


def _lines(run: Run, reading: Reading, frame: int, tracks: Tracks | None) -> Scene:
    """The body and the lines drawn on the frame; marks would only stand in the way."""
    shown = whole_scene(run, reading, frame, run.direction.near_side, tracks)
    return Scene(shown.strokes, tuple(dot for dot in shown.dots if dot.kind is not Kind.MARK))


def _angles(reading: Reading, moment: Moment, side: Side | None) -> tuple[PostureReading, ...]:
    wanted = {"first_movement": "set", "front_toe_off": "toe_off"}.get(moment.kind, moment.kind.value)
    found = {
        row.measure: row
        for row in reading.posture
        if row.step == moment.step
        and row.moment.value == wanted
        and (row.side is None or side is None or row.side is side)
        and not isinstance(row.result, NoValue)
    }
    return tuple(found[name] for name in ANGLES if name in found)
