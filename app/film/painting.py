"""Draws a scene over the picture: every stroke in two tones, so that it holds on any frame."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from analysis.report.labels import Label, Rect, Where, laid_out, lead_of
from analysis.report.scene import (
    MARK_COLOUR,
    OTHER_COLOUR,
    TRAIL_COLOUR,
    Dot,
    Look,
    Ring,
    Scene,
    Stroke,
    Trail,
)
from analysis.values.command import Kind
from analysis.values.run import Side
from app.film.mapping import ViewMapping
from app.selection import PartRef, Selected
from app.theme.tokens import Theme

DOT_RADIUS = 4.0
HALO = 2.0
GUESS_OPACITY = 0.55
_LABEL_GAP = 8.0
_PLATE = 4.0
_BAR = 3.0
_EDGE = 3.0
_BELOW = 10.0


class ScenePainter:
    """Paints scenes in one theme through one mapping, onto a surface ``width`` points wide."""

    def __init__(self, painter: QPainter, mapping: ViewMapping, theme: Theme, width: float) -> None:
        self._width = width
        self._painter = painter
        self._mapping = mapping
        self._theme = theme
        self._kept: list[Rect] = []
        self._taken: list[Rect] = []
        self._labels: list[Label] = []
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def paint(self, scene: Scene, selected: Selected | None) -> None:
        """Trails below strokes below dots below labels."""
        chosen = selected.id if isinstance(selected, PartRef) else ""
        self._labels = []
        for trail in scene.trails:
            self._trail(trail)
        for ring in scene.rings:
            self._cover(ring)
        for stroke in scene.other.strokes if scene.other is not None else ():
            ends = self._point(*stroke.start), self._point(*stroke.end)
            self.hollow(*ends, far=stroke.far, look=stroke.look)
        for stroke in scene.strokes:
            self._stroke(stroke, stroke.id == chosen)
        for dot in scene.dots:
            self._dot(dot, dot.id == chosen)
        # marks first: their names mean little away from them
        self._labels.sort(key=lambda label: label.where is not Where.BELOW)
        viewport = self._painter.viewport()
        # the focus frame lies on the edge
        inner = viewport.width() - 2 * _EDGE, viewport.height() - 2 * _EDGE
        surface = Rect(_EDGE, _EDGE, *inner)
        places = laid_out(self._labels, [*self._kept, *self._taken], surface)
        for label, place in zip(self._labels, places, strict=True):
            end = lead_of(label, place)
            if end is not None:
                self._lead(QPointF(label.x, label.y), QPointF(*end))
        for label, place in zip(self._labels, places, strict=True):
            self.label(label.text, place.x + _PLATE, place.y + place.height / 2)
            self._taken.append(place)
            if label.side is not None:
                self._bar(place, QColor(self._theme.side(label.side).fill))

    def _lead(self, start: QPointF, end: QPointF) -> None:
        """A hair from what a label names to the label, which had to stand far away."""
        for tone, thick in ((QColor(self._theme.halo_dark), 3.0), (QColor(self._theme.halo_light), 1.0)):
            self._painter.setPen(QPen(tone, thick))
            self._painter.drawLine(start, end)

    def _bar(self, place: Rect, colour: QColor) -> None:
        """The side that a label belongs to, on its plate's edge."""
        self._painter.fillRect(QRectF(place.x, place.y + 2, _BAR, place.height - 4), colour)

    def keep_free(self, box: QRectF) -> None:
        """Something else stands there: no label may, and what lies under it has none."""
        self._kept.append(_rect(box))

    def _name(
        self, text: str, place: QPointF, gap: float, side: Side | None = None, where: Where = Where.BESIDE
    ) -> None:
        """A label for a place of the picture, laid out once all of them are known; what is out of sight has
        none: it would stick to the edge and say the wrong place.
        """
        if not self._painter.viewport().contains(place.toPoint()):
            return
        box = self.plate(text)
        self._labels.append(Label(text, place.x(), place.y(), box.width(), box.height(), gap, where, side))

    def plate(self, text: str) -> QRectF:
        """The plate of a label, at (0, 0)."""
        metrics = QFontMetricsF(self._painter.font())
        return QRectF(0, 0, metrics.horizontalAdvance(text) + 2 * _PLATE, metrics.height() + _PLATE)

    def label_below(self, text: str, x: float, y: float) -> None:
        """Text with its middle at (x, y), moved so far that all of it is on the surface."""
        across = QFontMetricsF(self._painter.font()).horizontalAdvance(text) + 2 * _PLATE
        left = max(0.0, min(x - across / 2, self._width - across))
        self.label(text, left + _PLATE, y)

    def label(self, text: str, x: float, y: float, colour: QColor | None = None) -> None:
        """Text on a dark plate, its left end at (x, y) in widget points."""
        plate = self.plate(text)
        box = plate.translated(x - _PLATE, y - plate.height() / 2)
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(QColor(0, 0, 0, 170))
        self._painter.drawRoundedRect(box, 3, 3)
        self._painter.setPen(colour or QColor(self._theme.halo_light))
        self._painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def _colour(self, side: Side | None, kind: Kind) -> QColor:
        if side is not None:
            return QColor(self._theme.side(side).fill)
        return QColor(MARK_COLOUR if kind is Kind.MARK else "#FFFFFF")

    def _point(self, u: float, v: float) -> QPointF:
        return QPointF(*self._mapping.to_widget(u, v))

    def _stroke(self, stroke: Stroke, chosen: bool) -> None:
        start, end = self._point(*stroke.start), self._point(*stroke.end)
        if stroke.kind is Kind.MARK:  # how far a mark is off: a thin line with a ring where it should be
            self._residual(start, end, self._colour(stroke.side, stroke.kind))
            return
        width = 3.0 if chosen else 2.0
        style = Qt.PenStyle.DashLine if stroke.far else Qt.PenStyle.SolidLine
        if stroke.thin:
            self._limb(start, end, stroke, style)
            return
        for colour, thick in (
            (QColor(self._theme.halo_dark), width + 2 * HALO),
            (QColor(self._theme.halo_light), width + 1.0),
            (self._colour(stroke.side, stroke.kind), width),
        ):
            pen = QPen(colour, thick, style if thick == width else Qt.PenStyle.SolidLine)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            self._painter.setPen(pen)
            self._painter.drawLine(start, end)
        for place in (start, end):
            self._ring(place, 3.5 if not chosen else 5.0, self._colour(stroke.side, stroke.kind))
        if stroke.label:
            self._name(stroke.label, end, _LABEL_GAP + DOT_RADIUS, stroke.side)

    def _limb(self, start: QPointF, end: QPointF, stroke: Stroke, style: Qt.PenStyle) -> None:
        """Thinner than a line that was drawn, without rings; a guess is faint."""
        self._painter.setOpacity(GUESS_OPACITY if stroke.look is Look.GUESSED else 1.0)
        colour = self._colour(stroke.side, stroke.kind)
        width = 3.2 if stroke.bold else 1.8
        for tone, thick in ((QColor(self._theme.halo_dark), width + 1.8), (colour, width)):
            self._painter.setPen(QPen(tone, thick, style, Qt.PenCapStyle.FlatCap))
            self._painter.drawLine(start, end)
        self._painter.setOpacity(1.0)
        if stroke.label:
            middle = QPointF((start.x() + end.x()) / 2, (start.y() + end.y()) / 2)
            self._name(stroke.label, middle, _LABEL_GAP + DOT_RADIUS, stroke.side)

    def hollow(self, start: QPointF, end: QPointF, *, far: bool = False, look: Look = Look.PLACED) -> None:
        """A limb of another run's body: two lines with nothing between them; broken on the far side."""
        self._painter.setOpacity(GUESS_OPACITY if look is Look.GUESSED else 1.0)
        dark = QColor(self._theme.halo_dark)
        style = Qt.PenStyle.DashLine if far else Qt.PenStyle.SolidLine
        for tone, thick in ((dark, 6.4), (QColor(OTHER_COLOUR), 4.8), (dark, 2.2)):
            shown = style if thick < 3 else Qt.PenStyle.SolidLine
            self._painter.setPen(QPen(tone, thick, shown, Qt.PenCapStyle.FlatCap))
            self._painter.drawLine(start, end)
        self._painter.setOpacity(1.0)

    def _trail(self, trail: Trail) -> None:
        """A way in two tones; a guess is faint, as a limb's is."""
        line = QPolygonF([self._point(u, v) for u, v in trail.places])
        self._painter.setOpacity(GUESS_OPACITY if trail.look is Look.GUESSED else 1.0)
        for tone, thick in ((QColor(self._theme.halo_dark), 3.4), (QColor(TRAIL_COLOUR), 1.8)):
            self._painter.setPen(QPen(tone, thick))
            self._painter.drawPolyline(line)
        self._painter.setOpacity(1.0)

    def _cover(self, ring: Ring) -> None:
        """Where a face is covered: broken where nobody placed it on this frame."""
        place, scale = self._point(ring.u, ring.v), self._mapping.scale
        style = Qt.PenStyle.SolidLine if ring.look is Look.PLACED else Qt.PenStyle.DashLine
        light = 2.0 if ring.chosen else 1.0
        self._painter.setBrush(QColor(0, 0, 0, 90))
        for tone, thick in ((QColor(self._theme.halo_dark), 4.0), (QColor(self._theme.halo_light), light)):
            self._painter.setPen(QPen(tone, thick, style if thick < 3 else Qt.PenStyle.SolidLine))
            self._painter.drawEllipse(place, ring.half_u * scale, ring.half_v * scale)
            self._painter.setBrush(Qt.BrushStyle.NoBrush)
        if ring.label:
            self._name(ring.label, place, ring.half_u * scale + 2.0)

    def centre_of_mass(self, place: QPointF, look: Look) -> None:
        """A disc in quarters, the sign for a centre of mass; a guess is faint."""
        reach = DOT_RADIUS + 1.5
        self._painter.setOpacity(GUESS_OPACITY if look is Look.GUESSED else 1.0)
        self._ring(place, reach, QColor(TRAIL_COLOUR))
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(QColor(TRAIL_COLOUR))
        box = QRectF(place.x() - reach, place.y() - reach, 2 * reach, 2 * reach)
        for begin in (0, 180):
            self._painter.drawPie(box, begin * 16, 90 * 16)
        self._painter.setOpacity(1.0)

    def _residual(self, start: QPointF, end: QPointF, colour: QColor) -> None:
        for tone, thick in ((QColor(self._theme.halo_dark), 3.5), (colour, 1.2)):
            self._painter.setPen(QPen(tone, thick))
            self._painter.drawLine(start, end)
        self._ring(end, 2.5, colour)

    def _dot(self, dot: Dot, chosen: bool) -> None:
        place = self._point(dot.u, dot.v)
        if not self._painter.viewport().contains(place.toPoint()):
            return
        covered = any(box.holds(place.x(), place.y()) for box in self._kept)
        around = QRectF(place.x() - DOT_RADIUS, place.y() - DOT_RADIUS, 2 * DOT_RADIUS, 2 * DOT_RADIUS)
        self._taken.append(_rect(around))
        colour = self._colour(dot.side, dot.kind)
        if dot.centre:
            self.centre_of_mass(place, dot.look)
        elif dot.kind is Kind.MARK:
            self.cross(place, colour, 9.0 if chosen else 7.0)
        else:
            self.body_point(place, dot.look, colour, chosen=chosen)
            if dot.spread_px * self._mapping.scale > DOT_RADIUS + 2.0:
                self._painter.setPen(QPen(colour, 1.0, Qt.PenStyle.DotLine))
                self._painter.setBrush(Qt.BrushStyle.NoBrush)
                reach = dot.spread_px * self._mapping.scale
                self._painter.drawEllipse(place, reach, reach)
        if dot.label and not covered:
            self._name(dot.label, place, _BELOW, where=Where.BELOW)

    def body_point(self, place: QPointF, look: Look, colour: QColor, *, chosen: bool = False) -> None:
        """A filled ring was placed, an open one followed, a dotted one guessed: told without colour."""
        radius = DOT_RADIUS + (2.0 if chosen else 0.0)
        if look is Look.GUESSED:
            self._painter.setBrush(Qt.BrushStyle.NoBrush)
            for tone, thick in ((QColor(self._theme.halo_dark), 3.0), (colour, 1.5)):
                pen = QPen(tone, thick)
                pen.setDashPattern([1.6, 1.6] if thick < 2 else [0.8, 0.8])
                self._painter.setPen(pen)
                self._painter.drawEllipse(place, radius, radius)
            return
        self._ring(place, radius, colour)
        if look is Look.PLACED:
            self._painter.setPen(Qt.PenStyle.NoPen)
            self._painter.setBrush(colour)
            self._painter.drawEllipse(place, 1.8, 1.8)

    def _ring(self, place: QPointF, radius: float, colour: QColor) -> None:
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.setPen(QPen(QColor(self._theme.halo_dark), 1.5 + HALO))
        self._painter.drawEllipse(place, radius, radius)
        self._painter.setPen(QPen(QColor(self._theme.halo_light), 1.5 + 1.0))
        self._painter.drawEllipse(place, radius, radius)
        self._painter.setPen(QPen(colour, 1.5))
        self._painter.drawEllipse(place, radius, radius)

    def cross(self, place: QPointF, colour: QColor, reach: float) -> None:
        """A cross that leaves its middle free."""
        for tone, thick in ((QColor(self._theme.halo_dark), 4.5), (colour, 1.8)):
            self._painter.setPen(QPen(tone, thick))
            self._painter.drawLine(place + QPointF(-reach, 0), place + QPointF(-2, 0))
            self._painter.drawLine(place + QPointF(2, 0), place + QPointF(reach, 0))
            self._painter.drawLine(place + QPointF(0, -reach), place + QPointF(0, -2))
            self._painter.drawLine(place + QPointF(0, 2), place + QPointF(0, reach))


def _rect(box: QRectF) -> Rect:
    return Rect(box.x(), box.y(), box.width(), box.height())
