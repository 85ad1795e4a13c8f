"""A small figure that shows which point of the body is wanted."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from analysis.report.body import Spot, body_scene
from analysis.report.scene import Look, side_of
from analysis.values.point_names import point_words
from analysis.values.run import Run, Side
from app.film.mapping import ViewMapping
from app.film.painting import ScenePainter
from app.theme.tokens import Theme

HEIGHT, WIDTH = 190.0, 150.0
_MIDDLE = {"head": (0.60, 0.07), "neck": (0.55, 0.18), "mid_back": (0.46, 0.34)}
# a body that runs to the right, in shares of its box; near limbs first
_NEAR = {
    "shoulder": (0.55, 0.21), "elbow": (0.37, 0.30), "wrist": (0.30, 0.43), "hip": (0.42, 0.50),
    "knee": (0.62, 0.58), "ankle": (0.56, 0.76), "heel": (0.52, 0.80), "toe": (0.66, 0.82),
}  # fmt: skip
_FAR = {
    "shoulder": (0.59, 0.21), "elbow": (0.70, 0.34), "wrist": (0.83, 0.27), "hip": (0.45, 0.50),
    "knee": (0.33, 0.69), "ankle": (0.14, 0.80), "heel": (0.08, 0.77), "toe": (0.15, 0.90),
}  # fmt: skip


@dataclass(frozen=True)
class Guide:
    """The point that is wanted, its name for people, which are placed, and the side that the camera sees."""

    asked: str
    words: str
    placed: frozenset[str]
    near: Side

    def place(self, name: str) -> tuple[float, float]:
        """Where a point lies on the figure, in shares of its box; it runs as the athlete does."""
        side = side_of(name)
        part = name if side is None else name.partition("_")[2]
        x, y = _MIDDLE[part] if side is None else (_NEAR if side is self.near else _FAR)[part]
        return (x if self.near is Side.RIGHT else 1.0 - x), y


def guide_on(run: Run, frame: int, name: str) -> Guide:
    """What the figure shows while a point of a run is wanted on a frame."""
    placed = frozenset(p.name for p in run.points if p.frame == frame)
    return Guide(name, point_words(name), placed, run.direction.near_side)


def figure_rect(width: float, height: float, closeup: QRectF) -> QRectF:
    """Where the figure lies: below the close-up, as wide; empty where there is no room for it."""
    room = height - closeup.bottom() - 70.0
    if room < HEIGHT / 2:
        return QRectF()
    tall = min(HEIGHT, room)
    wide = WIDTH * tall / HEIGHT
    left = closeup.left() if closeup.left() < width / 2 else closeup.right() - wide
    return QRectF(left, closeup.bottom() + 10.0, wide, tall)


def paint_figure(painter: QPainter, rect: QRectF, guide: Guide, theme: Theme) -> None:
    """The figure: placed points filled, the wanted one large and named."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(theme.halo_light), 1))
    painter.setBrush(QColor(0, 0, 0, 190))
    painter.drawRoundedRect(rect, 6, 6)
    box = rect.adjusted(8, 8, -8, -26)
    spots = {}
    for name in (*_MIDDLE, *(f"{side.value}_{part}" for side in Side for part in _NEAR)):
        x, y = guide.place(name)
        at = box.left() + x * box.width(), box.top() + y * box.height()
        spots[name] = Spot(at[0], at[1], Look.PLACED, 0.0)
    scenes = ScenePainter(painter, ViewMapping(1.0, 0.0, 0.0), theme, rect.right())
    for stroke in body_scene(spots, 0, guide.near).strokes:
        pen = QPen(QColor("#8C969F"), 2.0, Qt.PenStyle.DashLine if stroke.far else Qt.PenStyle.SolidLine)
        painter.setPen(pen)
        painter.drawLine(QPointF(*stroke.start), QPointF(*stroke.end))
    for name, spot in spots.items():
        if name in guide.placed:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(theme.halo_light))
            painter.drawEllipse(QPointF(*spot.place), 2.6, 2.6)
    side = side_of(guide.asked)
    colour = QColor(theme.halo_light) if side is None else QColor(theme.side(side).fill)
    wanted = QPointF(*spots[guide.asked].place)
    painter.setPen(QPen(QColor(theme.halo_light), 2.0))
    painter.setBrush(colour)
    painter.drawEllipse(wanted, 7.0, 7.0)
    scenes.label_below(guide.words, rect.center().x(), rect.bottom() - 14.0)
    painter.restore()
