"""What is drawn on a frame, said once for the window and for exported pictures alike.

Coordinates are pixels of the shown picture: origin at the centre of the top left pixel, v downwards.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from analysis.report.words import side_letter
from analysis.values.command import Kind
from analysis.values.estimate import Estimate
from analysis.values.reading import Reading
from analysis.values.run import Run, Side
from analysis.values.words import tr


class Look(StrEnum):
    """How sure it is that a thing lies where it is drawn."""

    PLACED = "placed"
    FOLLOWED = "followed"
    GUESSED = "guessed"


@dataclass(frozen=True)
class Handle:
    """Where a drawn thing can be taken hold of; ``part`` is "" or, of a line, "lower" or "upper", or, of a
    body point that is not placed on this frame, "followed".
    """

    kind: Kind
    id: str
    part: str
    u: float
    v: float


@dataclass(frozen=True)
class Stroke:
    """A straight line with an optional label at its upper end. ``far``: of the side away from the camera.
    ``thin``: it joins points, and is not taken hold of itself. ``bold``: of those, one that is looked at.
    """

    kind: Kind
    id: str
    side: Side | None
    start: tuple[float, float]
    end: tuple[float, float]
    label: str = ""
    far: bool = False
    look: Look = Look.PLACED
    thin: bool = False
    bold: bool = False


@dataclass(frozen=True)
class Dot:
    """A small marker with an optional label. ``spread_px``: it lies within, in 95 of 100; 0: not drawn.
    ``centre``: it is the centre of mass.
    """

    kind: Kind
    id: str
    side: Side | None
    u: float
    v: float
    label: str = ""
    look: Look = Look.PLACED
    spread_px: float = 0.0
    centre: bool = False


@dataclass(frozen=True)
class Trail:
    """A way through the picture, place by place."""

    places: tuple[tuple[float, float], ...]
    look: Look


MARK_COLOUR, TRAIL_COLOUR = "#F0E442", "#CC79A7"
"""Yellow of the Okabe-Ito palette, of marks and of what a hand draws, and reddish purple: neither side."""
OTHER_COLOUR = "#009E73"
"""Bluish green of the Okabe-Ito palette: neither side, nor mark, nor trail. Limbs in it are hollow too."""


@dataclass(frozen=True)
class OtherBody:
    """Another run's body over a frame. ``words``: what it is, for the legend, or why it is not there."""

    words: str
    strokes: tuple[Stroke, ...] = ()


@dataclass(frozen=True)
class Ring:
    """An upright ellipse, by centre and half axes: where a face is covered when pictures are handed over.

    ``label``: which face, where there are several; ``chosen``: the one in hand.
    """

    u: float
    v: float
    half_u: float
    half_v: float
    look: Look = Look.PLACED
    label: str = ""
    chosen: bool = True


@dataclass(frozen=True)
class Scene:
    """All that lies over one frame; ``numbers`` are lines for the column at the picture's edge. ``other`` and
    ``trails`` lie below all else. ``rings`` are for the window alone.
    """

    strokes: tuple[Stroke, ...] = ()
    dots: tuple[Dot, ...] = ()
    handles: tuple[Handle, ...] = ()
    numbers: tuple[str, ...] = field(default=())
    trails: tuple[Trail, ...] = ()
    rings: tuple[Ring, ...] = ()
    other: OtherBody | None = None


def scene(run: Run, reading: Reading | None, frame: int, near: Side) -> Scene:
    """What lies over ``frame``: marks, the points and lines placed on it, numbers whose event has passed."""
    angles = {}
    if reading is not None:
        angles = {line.line_id: line.angle_deg for line in reading.lines}
    strokes, dots, handles = [], [], []
    for mark in run.marks:
        # a mark above the ground has one below it that says the distance
        label = f"{mark.x_m:g} m" if mark.y_m == 0 else ""
        dots.append(Dot(Kind.MARK, mark.id, None, mark.u, mark.v, label))
        handles.append(Handle(Kind.MARK, mark.id, "", mark.u, mark.v))
    for point in run.points:
        if point.frame == frame:
            dots.append(Dot(Kind.POINT, point.id, side_of(point.name), point.u, point.v))
            handles.append(Handle(Kind.POINT, point.id, "", point.u, point.v))
    for line in run.lines:
        if line.frame == frame:
            angle = angles.get(line.id)
            label = f"{angle.value:.1f}°" if isinstance(angle, Estimate) else ""
            far = line.side is not None and line.side is not near
            strokes.append(Stroke(Kind.LINE, line.id, line.side, line.lower, line.upper, label, far))
            handles.append(Handle(Kind.LINE, line.id, "lower", *line.lower))
            handles.append(Handle(Kind.LINE, line.id, "upper", *line.upper))
    return Scene(tuple(strokes), tuple(dots), tuple(handles), numbers(reading, frame))


def numbers(reading: Reading | None, frame: int) -> tuple[str, ...]:
    """The numbers of every step whose event has passed at ``frame``, one line a number."""
    if reading is None:
        return ()
    shown = []
    after = {step.step: nxt for step, nxt in zip(reading.steps, reading.steps[1:], strict=False)}
    for step in reading.steps:
        side = side_letter(step.side)
        if step.toe_off is not None and step.toe_off <= frame and isinstance(step.contact_s, Estimate):
            shown.append(f"{step.step} {side}  {tr('contact')} {step.contact_s.value * 1000:.0f} ms")
        following = after.get(step.step)
        landed = following is not None and following.touchdown is not None and following.touchdown <= frame
        if landed and isinstance(step.flight_s, Estimate):
            shown.append(f"{step.step} {side}  {tr('flight')} {step.flight_s.value * 1000:.0f} ms")
    return tuple(shown)


def side_of(name: str) -> Side | None:
    """The side that a point's name tells."""
    return next((side for side in Side if name.startswith(f"{side.value}_")), None)
