"""Draws a scene on a picture of the film, at any size: trails, lines, points, labels, numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager, nullcontext

import numpy as np

from analysis.report.canvas import WHOLE, Canvas, Pens, Places, Point
from analysis.report.ink import Ink
from analysis.report.labels import Label, Rect, Where, laid_out, lead_of
from analysis.report.plates import Plates
from analysis.report.scene import MARK_COLOUR, OTHER_COLOUR, TRAIL_COLOUR, Dot, Look, Scene, Stroke, Trail
from analysis.report.stamp import LaidAgain
from analysis.values.command import Kind
from analysis.values.run import Side

_UNIT_AT_PX = 540
"""Height of a picture on which a unit of thickness is a pixel (own)."""
_DOT = 3.2
_FULLY = nullcontext()


def draw_scene(
    picture: Canvas,
    scene: Scene,
    scale: float,
    ink: Ink,
    *,
    corner: Point = WHOLE,
    trails: LaidAgain | None = None,
) -> None:
    """Draw a scene on a picture in place.

    ``scale``: pixels of the picture in one of the film's; the centre of a pixel at (u, v) of the film lies at
    ``(u + 0.5) * scale - 0.5`` where the picture is the whole one. ``corner``: the place of the film at the
    picture's left upper corner. ``trails``: of the pictures before, which mostly have the same.
    """
    Drawing(picture, scale, ink, _unit(picture), corner, trails).draw(scene)


def draw_pen(
    picture: Canvas, ways: Iterable[Sequence[Point]], scale: float, ink: Ink, *, corner: Point = WHOLE
) -> None:
    """Draw what a hand drew, each line as the places of its way; arguments as for ``draw_scene``."""
    drawing = Drawing(picture, scale, ink, _unit(picture), corner)
    for way in ways:
        drawing.pen(way)


def draw_lines(picture: Canvas, scene: Scene, scale: float, corner: Point, ink: Ink, unit: float) -> None:
    """Draw a scene without its words on a part of the film's picture.

    ``corner``: the place of the film whose pixel's corner is that of ``picture``; ``unit``: of thickness, px.
    """
    Drawing(picture, scale, ink, unit, corner).lines(scene)


def _unit(picture: Canvas) -> float:
    return max(1.0, picture.height / _UNIT_AT_PX)


class Drawing:
    """Trails below strokes below dots below labels."""

    def __init__(
        self,
        picture: Canvas,
        scale: float,
        ink: Ink,
        unit: float,
        corner: Point,
        trails: LaidAgain | None = None,
    ) -> None:
        self._trails = trails or LaidAgain()
        self._picture, self._scale, self._ink, self._unit, self._corner = picture, scale, ink, unit, corner
        self._plates = Plates(picture.height, 2 * unit)
        self._surface = Rect(0, 0, picture.width, picture.height)
        self._labels: list[Label] = []
        self._taken: list[Rect] = []

    def pen(self, places: Sequence[Point]) -> None:
        """A line that a hand drew."""
        way = [self._at(u, v) for u, v in places]
        pens = ((self._ink.halo, 4.6 * self._unit), (MARK_COLOUR, 2.8 * self._unit))
        self._line(way if len(way) > 1 else way * 2, pens, Look.PLACED)

    def draw(self, scene: Scene) -> None:
        """All of a scene."""
        self.lines(scene)
        numbers = self._number_places(scene.numbers)
        self._labels.sort(key=lambda label: label.where is not Where.BELOW)  # marks first, as in the window
        kept = [*(place for _, place in numbers), *self._taken]
        places = laid_out(self._labels, kept, self._surface)
        for label, place in zip(self._labels, places, strict=True):
            end = lead_of(label, place)
            if end is not None:
                pens = ((self._ink.halo, 2.4 * self._unit), ("#FFFFFF", self._unit))
                self._line([(label.x, label.y), end], pens, Look.PLACED)
        for label, place in zip(self._labels, places, strict=True):
            colour = None if label.side is None else self._ink.of(label.side)
            self._plates.lay(self._picture, label.text, (place.x, place.y), colour)
        for text, place in numbers:
            self._plates.lay(self._picture, text, (place.x, place.y))
        if scene.other is not None:
            below = self._picture.height - self._plates.size("")[1] - 8 * self._unit
            self._plates.lay(self._picture, scene.other.words, (8 * self._unit, below), OTHER_COLOUR)

    def lines(self, scene: Scene) -> None:
        """What has no words."""
        self._lay_trails(scene.trails)
        for stroke in scene.other.strokes if scene.other is not None else ():
            self._hollow(stroke)
        for stroke in scene.strokes:
            self._stroke(stroke)
        for dot in scene.dots:
            self._dot(dot)

    def _at(self, u: float, v: float) -> Point:
        """Where a place of the film lies, px from the picture's left upper corner."""
        return (u - self._corner[0]) * self._scale, (v - self._corner[1]) * self._scale

    def _line(self, places: Sequence[Point], pens: Pens, look: Look, *, dashed: bool = False) -> None:
        """A way through places, in each pen in turn; a guess is faint; ``dashed``: the uppermost pen is."""
        with _looking(self._picture, look, places, max(width for _, width in pens) + 1):
            self._picture.pens(places, pens, self._unit, dashed=dashed)

    def _lay_trails(self, trails: Sequence[Trail]) -> None:
        """Long ways with soft edges cost most of all: drawn once where the next picture has the same."""
        places = [(np.array(trail.places) - self._corner) * self._scale for trail in trails]
        box = self._picture.box(np.concatenate(places), 4 * self._unit) if places else None
        if box is None:
            return
        size = self._picture.width, self._picture.height
        key = (tuple(trails), self._scale, self._corner, self._unit, size)

        def draw(picture: Canvas) -> None:
            for trail, way in zip(trails, places, strict=True):
                self._trail(picture, trail.look, way)

        self._trails.lay(self._picture, key, box, draw)

    def _trail(self, picture: Canvas, look: Look, places: Places) -> None:
        pens = ((self._ink.halo, 3.4 * self._unit), (TRAIL_COLOUR, 1.8 * self._unit))
        with _looking(picture, look, places, 4 * self._unit):
            picture.way(places, pens)

    def _stroke(self, stroke: Stroke) -> None:
        ends = [self._at(*stroke.start), self._at(*stroke.end)]
        if stroke.kind is Kind.MARK:
            self._residual(ends)
            return
        width = (2.6 if stroke.bold else 1.8 if stroke.thin else 2.4) * self._unit
        pens = [(self._ink.halo, width + 2 * self._unit), (self._colour(stroke.side, stroke.kind), width)]
        self._line(ends, pens, stroke.look, dashed=stroke.far)
        if stroke.label:
            (x0, y0), (x1, y1) = ends
            place = ((x0 + x1) / 2, (y0 + y1) / 2) if stroke.thin else (x1, y1)
            self._name(stroke.label, place, 8 * self._unit, stroke.side)

    def _hollow(self, stroke: Stroke) -> None:
        """A limb of another run's body: two lines with nothing between them."""
        ink, unit = self._ink, self._unit
        pens = ((ink.halo, 6.4 * unit), (OTHER_COLOUR, 4.8 * unit), (ink.halo, 2.0 * unit))
        self._line([self._at(*stroke.start), self._at(*stroke.end)], pens, stroke.look, dashed=stroke.far)

    def _residual(self, ends: Sequence[Point]) -> None:
        """How far a mark is off: a thin line with a ring where it should be."""
        self._line(ends, ((self._ink.halo, 3.2 * self._unit), (MARK_COLOUR, 1.2 * self._unit)), Look.PLACED)
        for colour, width in ((self._ink.halo, 3 * self._unit), (MARK_COLOUR, 1.4 * self._unit)):
            self._picture.ring(ends[1], 2.5 * self._unit, colour, width)

    def _dot(self, dot: Dot) -> None:
        place = self._at(dot.u, dot.v)
        if not self._surface.holds(*place):
            return
        colour = TRAIL_COLOUR if dot.centre else self._colour(dot.side, dot.kind)
        if dot.kind is Kind.MARK:
            self._cross(place, colour)
        else:
            self._disc(place, colour, dot)
        reach = 4 * self._unit
        self._taken.append(Rect(place[0] - reach, place[1] - reach, 2 * reach, 2 * reach))
        if dot.label:
            self._name(dot.label, place, 8 * self._unit, where=Where.BELOW)

    def _cross(self, place: Point, colour: str) -> None:
        (x, y), arm = place, 6 * self._unit
        for ends in ([(x - arm, y), (x + arm, y)], [(x, y - arm), (x, y + arm)]):
            self._line(ends, ((self._ink.halo, 3.2 * self._unit), (colour, 1.4 * self._unit)), Look.PLACED)

    def _disc(self, place: Point, colour: str, dot: Dot) -> None:
        """Filled where it was placed, a ring where it was followed, a faint ring where it was guessed; round
        it where it lies within, in 95 of 100, where that is more.
        """
        radius = (5.0 if dot.centre else _DOT) * self._unit
        spread = dot.spread_px * self._scale
        if spread > radius + 2 * self._unit:
            with self._picture.faintly([place], spread + 2):
                self._picture.ring(place, spread, colour, 0.8 * self._unit)
        with _looking(self._picture, dot.look, [place], radius + 2 * self._unit):
            self._picture.disc(place, radius + self._unit, self._ink.halo)
            self._picture.disc(place, radius, colour)
            if dot.look is not Look.PLACED and not dot.centre:
                self._picture.disc(place, radius - 1.2 * self._unit, self._ink.halo)

    def _colour(self, side: Side | None, kind: Kind) -> str:
        return MARK_COLOUR if side is None and kind is Kind.MARK else self._ink.of(side)

    def _name(
        self, text: str, place: Point, gap: float, side: Side | None = None, where: Where = Where.BESIDE
    ) -> None:
        """A label for a place of the picture; what is off the picture has none."""
        if self._surface.holds(*place):
            self._labels.append(Label(text, *place, *self._plates.size(text), gap, where, side))

    def _number_places(self, numbers: Sequence[str]) -> list[tuple[str, Rect]]:
        """The numbers one below the other at the left edge; the latest, where there is no room for all."""
        edge, height = 8 * self._unit, self._plates.size("")[1] + self._unit
        room = max(1, int((self._picture.height - 2 * edge) // height))
        return [
            (text, Rect(edge, edge + row * height, *self._plates.size(text)))
            for row, text in enumerate(numbers[-room:])
        ]


def _looking(picture: Canvas, look: Look, places: Places, reach: float) -> AbstractContextManager[None]:
    """A guess is drawn faintly."""
    return picture.faintly(places, reach) if look is Look.GUESSED else _FULLY
