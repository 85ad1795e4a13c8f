"""A glyph on a grid of 20 by 20: one path to be stroked, one to be filled."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

GRID = 20.0
STROKE = 1.5


class Glyph:
    """Collects lines and areas; every call returns the glyph, so that calls chain.

    Attributes:
        strokes: what is drawn as lines of ``STROKE``.
        fills: what is filled.

    """

    def __init__(self) -> None:
        self.strokes = QPainterPath()
        self.fills = QPainterPath()
        self.fills.setFillRule(Qt.FillRule.WindingFill)

    def line(self, *points: tuple[float, float], closed: bool = False) -> Glyph:
        """A line through the points."""
        _trace(self.strokes, points, closed=closed)
        return self

    def area(self, *points: tuple[float, float]) -> Glyph:
        """A filled polygon."""
        _trace(self.fills, points, closed=True)
        return self

    def ring(self, x: float, y: float, radius: float) -> Glyph:
        """A circle's edge."""
        self.strokes.addEllipse(QPointF(x, y), radius, radius)
        return self

    def dot(self, x: float, y: float, radius: float) -> Glyph:
        """A filled circle."""
        self.fills.addEllipse(QPointF(x, y), radius, radius)
        return self

    def box(self, x: float, y: float, width: float, height: float, radius: float = 0.0) -> Glyph:
        """A filled rectangle."""
        self.fills.addRoundedRect(QRectF(x, y, width, height), radius, radius)
        return self

    def frame(self, x: float, y: float, width: float, height: float, radius: float = 0.0) -> Glyph:
        """A rectangle's edge."""
        self.strokes.addRoundedRect(QRectF(x, y, width, height), radius, radius)
        return self

    def arc(self, x: float, y: float, radius: float, start_deg: float, sweep_deg: float) -> Glyph:
        """Part of a circle's edge, anticlockwise from the right."""
        square = QRectF(x - radius, y - radius, 2 * radius, 2 * radius)
        self.strokes.arcMoveTo(square, start_deg)
        self.strokes.arcTo(square, start_deg, sweep_deg)
        return self

    def paint(self, painter: QPainter, square: QRectF, colour: QColor) -> None:
        """Draw the glyph into ``square``."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(square.topLeft())
        painter.scale(square.width() / GRID, square.height() / GRID)
        pen = QPen(colour, STROKE, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
        painter.strokePath(self.strokes, pen)
        painter.fillPath(self.fills, colour)
        painter.restore()


def _trace(path: QPainterPath, points: tuple[tuple[float, float], ...], *, closed: bool) -> None:
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if closed:
        path.closeSubpath()
