"""Draws a scene over the picture: every stroke in two tones, so that it holds on any frame."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from analysis.report.scene import Dot, Look, Scene, Stroke
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
_BELOW = 22.0


class ScenePainter:
    """Paints scenes in one theme through one mapping, onto a surface ``width`` points wide."""

    def __init__(self, painter: QPainter, mapping: ViewMapping, theme: Theme, width: float) -> None:
        self._width = width
        self._painter = painter
        self._mapping = mapping
        self._theme = theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def paint(self, scene: Scene, selected: Selected | None) -> None:
        """Strokes below dots below labels."""
        chosen = selected.id if isinstance(selected, PartRef) else ""
        for stroke in scene.strokes:
            self._stroke(stroke, stroke.id == chosen)
        for dot in scene.dots:
            self._dot(dot, dot.id == chosen)

    def label_beside(self, text: str, x: float, y: float, gap: float) -> None:
        """Text to the right of (x, y), to its left where the surface ends there."""
        across = QFontMetricsF(self._painter.font()).horizontalAdvance(text) + _PLATE
        left = x - gap - across if x + gap + across > self._width else x + gap
        self.label(text, left, y)

    def label_below(self, text: str, x: float, y: float) -> None:
        """Text with its middle at (x, y), moved so far that all of it is on the surface."""
        across = QFontMetricsF(self._painter.font()).horizontalAdvance(text) + 2 * _PLATE
        left = max(0.0, min(x - across / 2, self._width - across))
        self.label(text, left + _PLATE, y)

    def label(self, text: str, x: float, y: float, colour: QColor | None = None) -> None:
        """Text on a dark plate, its left end at (x, y) in widget points."""
        metrics = QFontMetricsF(self._painter.font())
        box = QRectF(
            x - 4, y - metrics.height() / 2 - 2, metrics.horizontalAdvance(text) + 8, metrics.height() + 4
        )
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(QColor(0, 0, 0, 170))
        self._painter.drawRoundedRect(box, 3, 3)
        self._painter.setPen(colour or QColor(self._theme.halo_light))
        self._painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def _colour(self, side: Side | None, kind: Kind) -> QColor:
        if side is not None:
            return QColor(self._theme.side(side).fill)
        return QColor("#F0E442" if kind is Kind.MARK else "#FFFFFF")  # yellow of the Okabe-Ito palette

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
            self.label_beside(stroke.label, end.x(), end.y(), _LABEL_GAP + DOT_RADIUS)

    def _limb(self, start: QPointF, end: QPointF, stroke: Stroke, style: Qt.PenStyle) -> None:
        """Thinner than a line that was drawn, without rings; a guess is faint."""
        self._painter.setOpacity(GUESS_OPACITY if stroke.look is Look.GUESSED else 1.0)
        colour = self._colour(stroke.side, stroke.kind)
        for tone, thick in ((QColor(self._theme.halo_dark), 3.6), (colour, 1.8)):
            self._painter.setPen(QPen(tone, thick, style, Qt.PenCapStyle.FlatCap))
            self._painter.drawLine(start, end)
        self._painter.setOpacity(1.0)
        if stroke.label:
            self.label_beside(stroke.label, end.x(), end.y(), _LABEL_GAP)

    def _residual(self, start: QPointF, end: QPointF, colour: QColor) -> None:
        for tone, thick in ((QColor(self._theme.halo_dark), 3.5), (colour, 1.2)):
            self._painter.setPen(QPen(tone, thick))
            self._painter.drawLine(start, end)
        self._ring(end, 2.5, colour)

    def _dot(self, dot: Dot, chosen: bool) -> None:
        place = self._point(dot.u, dot.v)
        if not self._painter.viewport().contains(place.toPoint()):
            return  # a label would stick to the edge and say the wrong place
        colour = self._colour(dot.side, dot.kind)
        if dot.kind is Kind.MARK:
            self._cross(place, colour, 9.0 if chosen else 7.0)
        else:
            self.body_point(place, dot.look, colour, chosen=chosen)
            if dot.spread_px * self._mapping.scale > DOT_RADIUS + 2.0:
                self._painter.setPen(QPen(colour, 1.0, Qt.PenStyle.DotLine))
                self._painter.setBrush(Qt.BrushStyle.NoBrush)
                reach = dot.spread_px * self._mapping.scale
                self._painter.drawEllipse(place, reach, reach)
        if dot.label:
            self.label_below(dot.label, place.x(), place.y() + _BELOW)

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

    def _cross(self, place: QPointF, colour: QColor, reach: float) -> None:
        for tone, thick in ((QColor(self._theme.halo_dark), 4.5), (colour, 1.8)):
            self._painter.setPen(QPen(tone, thick))
            self._painter.drawLine(place + QPointF(-reach, 0), place + QPointF(-2, 0))
            self._painter.drawLine(place + QPointF(2, 0), place + QPointF(reach, 0))
            self._painter.drawLine(place + QPointF(0, -reach), place + QPointF(0, -2))
            self._painter.drawLine(place + QPointF(0, 2), place + QPointF(0, reach))
