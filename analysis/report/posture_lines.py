"""Lines of posture over a frame, with their angles, and what a measure rests on."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from analysis.body.forms import BALL_SHARE
from analysis.report.body import Spot, middle, spots_on, worse
from analysis.report.mass_path import Seen, path_scene
from analysis.report.scene import Dot, Scene, Stroke
from analysis.values.command import Kind
from analysis.values.estimate import Estimate
from analysis.values.posture import PostureReading
from analysis.values.reading import Reading
from analysis.values.run import LineKind, Run, Side
from analysis.values.tracks import Tracks

HORIZONTAL_SHARE = 0.8
"""The forward horizontal is drawn so long, as a share of the line that it belongs to."""


class Layer(StrEnum):
    """What of posture can be drawn."""

    TRUNK = "trunk"
    SPINE = "spine"
    SHINS = "shins"
    THIGHS = "thighs"
    PATH = "path"
    HORIZONTAL = "horizontal"


@dataclass(frozen=True)
class Drawn:
    """What of posture is drawn, and where.

    ``between``: pairs of body points, lower and upper end of a line. ``everywhere``: on every frame that
    holds its points, else on ``frames`` alone. ``focus``: a measure whose lines are drawn on the frames that
    it rests on, whatever else is.
    """

    layers: frozenset[Layer] = frozenset()
    between: tuple[tuple[str, str], ...] = ()
    everywhere: bool = True
    frames: frozenset[int] = frozenset()
    focus: PostureReading | None = None

    def layers_on(self, frame: int) -> frozenset[Layer]:
        """The layers that are drawn on a frame; the path is the same on all of them."""
        if self.everywhere or frame in self.frames:
            return self.layers
        return self.layers & {Layer.PATH}

    def between_on(self, frame: int) -> tuple[tuple[str, str], ...]:
        """The lines between two points that are drawn on a frame."""
        return self.between if self.everywhere or frame in self.frames else ()


NOTHING = Drawn(everywhere=False)


@dataclass(frozen=True)
class _Segment:
    """A line from the lower to the upper point; ``measure``: of the angle written beside it, if any.
    ``hip`` and ``shoulder`` without a side are the middles of both.
    """

    lower: str
    upper: str
    measure: str = ""
    side: Side | None = None


_TRUNK = (_Segment("hip", "shoulder", "trunk_deg"),)
_SPINE = (_Segment("hip", "mid_back"), _Segment("mid_back", "neck", "spine_bend_deg"))


def _shin(side: Side) -> _Segment:
    return _Segment(f"{side.value}_ankle", f"{side.value}_knee", "shin_deg", side)


def _thigh(side: Side) -> _Segment:
    return _Segment(f"{side.value}_knee", f"{side.value}_hip", "thigh_deg", side)


def _foot(side: Side) -> _Segment:
    return _Segment(f"{side.value}_toe", f"{side.value}_ankle", "", side)


def _of_layers(layers: Iterable[Layer]) -> list[_Segment]:
    found: list[_Segment] = []
    for layer in layers:
        if layer is Layer.TRUNK:
            found += _TRUNK
        elif layer is Layer.SPINE:
            found += _SPINE
        elif layer is Layer.SHINS:
            found += map(_shin, Side)
        elif layer is Layer.THIGHS:
            found += map(_thigh, Side)
    return found


def _of_measure(measure: str, sides: Iterable[Side]) -> list[_Segment]:
    """The lines that a measure is read from."""
    found: list[_Segment] = []
    if measure.startswith(("trunk", "hip")):
        found += _TRUNK
    if measure.startswith("spine"):
        found += _SPINE
    for side in sides:
        if measure.startswith(("thigh", "knee_deg", "hip_deg", "separation")):
            found.append(_thigh(side))
        if measure.startswith(("shin", "knee", "ankle", "trunk_shin")):
            found.append(_shin(side))
        if measure.startswith(("ankle", "touchdown", "toe_off", "shoe", "feet")):
            found.append(_foot(side))
    return found


def posture_strokes(
    run: Run, reading: Reading | None, frame: int, spots: Mapping[str, Spot], near: Side, drawn: Drawn
) -> tuple[Stroke, ...]:
    """The lines of posture on a frame, each with its angle where the reading has it there."""
    layers = drawn.layers_on(frame)
    wanted = _of_layers(layer for layer in Layer if layer in layers)
    wanted += [_Segment(lower, upper, "line_deg") for lower, upper in drawn.between_on(frame)]
    focus = drawn.focus
    if focus is not None and frame in focus.frames:
        wanted += _of_measure(focus.measure, Side if focus.side is None else (focus.side,))
    angles = _Angles(reading, frame)
    own = {(line.kind, line.side) for line in run.lines if line.frame == frame}
    level = _forward(run, reading)
    strokes: list[Stroke] = []
    for segment in dict.fromkeys(wanted):
        low, high = _spot(spots, segment.lower), _spot(spots, segment.upper)
        if low is None or high is None or _is_drawn(segment, own):
            continue
        far = segment.side is not None and segment.side is not near
        name = f"posture:{segment.lower}-{segment.upper}"
        label = angles.beside(segment)
        look = worse(low, high)
        strokes.append(
            Stroke(
                Kind.POINT, name, segment.side, low.place, high.place, label, far, look, thin=True, bold=True
            )
        )
        if Layer.HORIZONTAL in layers and segment.measure not in ("", "spine_bend_deg"):
            strokes.append(_horizontal(low.place, high.place, level, segment.side))
    return tuple(strokes)


def _spot(spots: Mapping[str, Spot], name: str) -> Spot | None:
    return middle(spots, name) if name in ("hip", "shoulder") else spots.get(name)


def _is_drawn(segment: _Segment, own: set[tuple[LineKind, Side | None]]) -> bool:
    """Whether the coach drew this very line on the frame."""
    kinds = {"trunk_deg": LineKind.TRUNK, "shin_deg": LineKind.SHIN, "thigh_deg": LineKind.THIGH}
    kind = kinds.get(segment.measure)
    return kind is not None and (
        (kind, segment.side) in own or (kind is LineKind.TRUNK and (kind, None) in own)
    )


class _Angles:
    """What is written beside a line: its angle on one frame."""

    def __init__(self, reading: Reading | None, frame: int) -> None:
        known = () if reading is None else (*reading.series, *reading.lines_between)
        self._of = {(s.measure, s.side, s.between): s for s in known}
        self._frame = frame

    def beside(self, segment: _Segment) -> str:
        """The angle in whole degrees; empty where it is not known."""
        ends = (segment.lower, segment.upper) if segment.measure == "line_deg" else None
        series = self._of.get((segment.measure, segment.side, ends))
        row = -1 if series is None else int(series.frames.searchsorted(self._frame))
        if series is None or row == len(series.frames) or series.frames[row] != self._frame:
            return ""
        return f"{series.value[row]:.0f}°"


def _forward(run: Run, reading: Reading | None) -> tuple[float, float]:
    """The forward horizontal in the picture, as a vector of length 1, v down."""
    roll = 0.0
    if reading is not None and reading.camera is not None and isinstance(reading.camera.roll_deg, Estimate):
        roll = math.radians(reading.camera.roll_deg.value)
    way = run.direction.forwards
    return way * math.cos(roll), -way * math.sin(roll)


def _horizontal(
    low: tuple[float, float], high: tuple[float, float], level: tuple[float, float], side: Side | None
) -> Stroke:
    length = HORIZONTAL_SHARE * math.dist(low, high)
    end = low[0] + length * level[0], low[1] + length * level[1]
    return Stroke(Kind.POINT, f"level:{low}", side, low, end, thin=True, far=True)


def with_posture(
    plain: Scene,
    run: Run,
    reading: Reading | None,
    frame: int,
    near: Side,
    tracks: Tracks | None,
    drawn: Drawn,
    seen: Seen,
    spots: Mapping[str, Spot] | None = None,
) -> Scene:
    """A frame's scene with posture drawn over its limbs and under its points. ``spots``: as for the body."""
    spots = spots_on(run, tracks, frame) if spots is None else spots
    strokes = posture_strokes(run, reading, frame, spots, near, drawn)
    asked = drawn.focus is not None and frame in drawn.focus.frames
    path = Scene()
    if Layer.PATH in drawn.layers or (asked and drawn.focus is not None and _of_mass(drawn.focus.measure)):
        path = path_scene(reading, tracks, frame, seen)
    if asked and drawn.focus is not None and path.dots:
        strokes += _to_the_ball(drawn.focus, spots, path.dots[0])
    return replace(
        plain,
        strokes=(*plain.strokes, *strokes, *path.strokes),
        dots=(*path.dots, *plain.dots),
        trails=path.trails,
    )


def _of_mass(measure: str) -> bool:
    return measure.startswith(("touchdown_distance", "toe_off_distance", "com", "to_line", "projection"))


def _to_the_ball(focus: PostureReading, spots: Mapping[str, Spot], mass: Dot) -> tuple[Stroke, ...]:
    """From the centre of mass down to the height of the stance foot's ball, and along to it."""
    if focus.side is None or "_distance" not in focus.measure or not isinstance(focus.result, Estimate):
        return ()
    heel, toe = (spots.get(f"{focus.side.value}_{name}") for name in ("heel", "toe"))
    if heel is None or toe is None:
        return ()
    ball = heel.u + BALL_SHARE * (toe.u - heel.u), heel.v + BALL_SHARE * (toe.v - heel.v)
    below = mass.u, ball[1]
    label = f"{focus.result.value:.2f} m"
    look = worse(heel, toe)
    return (
        Stroke(Kind.POINT, "mass:down", None, (mass.u, mass.v), below, look=look, thin=True),
        Stroke(
            Kind.POINT,
            "mass:ball",
            focus.side,
            below,
            (ball[0], ball[1]),
            label,
            look=look,
            thin=True,
            bold=True,
        ),
    )
