"""The key to what lies over the picture: one line along its lower edge, more where words are large."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from enum import Enum

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from analysis.report.scene import TRAIL_COLOUR, Look, Scene
from analysis.values.words import tr
from app.film.mapping import ViewMapping
from app.film.painting import ScenePainter
from app.theme.tokens import Theme

_SIGN, _GAP, _EDGE, _PAD = 30.0, 14.0, 8.0, 5.0


class Sign(Enum):
    """What stands in the legend."""

    PLACED = "placed"
    FOLLOWED = "followed"
    GUESSED = "guessed"
    NEAR = "near"
    FAR = "far"
    MASS = "mass"
    OTHER = "other"


def signs_of(scenes: Iterable[Scene]) -> tuple[Sign, ...]:
    """What there is to explain; the same on every frame that holds a body, so that it does not jump."""
    scenes = tuple(scenes)
    found: tuple[Sign, ...] = ()
    if any(stroke.thin for scene in scenes for stroke in scene.strokes):
        found += (Sign.PLACED, Sign.FOLLOWED, Sign.GUESSED, Sign.NEAR, Sign.FAR)
    if any(scene.trails for scene in scenes):
        found += (Sign.MASS,)
    return (Sign.OTHER, *found) if other_words(scenes) else found


def other_words(scenes: Iterable[Scene]) -> str:
    """What is said of another run's body; empty without one."""
    return next((scene.other.words for scene in scenes if scene.other is not None), "")


def words_of(sign: Sign) -> str:
    """How a sign is called."""
    return {
        Sign.PLACED: tr("placed"),
        Sign.FOLLOWED: tr("followed"),
        Sign.GUESSED: tr("guessed"),
        Sign.NEAR: tr("near side"),
        Sign.FAR: tr("far side"),
        Sign.MASS: tr("centre of mass; tick down: touchdown, up: toe-off"),
        Sign.OTHER: tr("other run"),
    }[sign]


class Legend:
    """Signs and words, laid out in rows between the edges of a surface, above ``bottom``. ``other``: what is
    said of another run's body.
    """

    def __init__(
        self, signs: Sequence[Sign], metrics: QFontMetricsF, width: float, bottom: float, other: str = ""
    ) -> None:
        self._words = {sign: other if sign is Sign.OTHER and other else words_of(sign) for sign in signs}
        self._rows: list[list[tuple[Sign, float]]] = []
        self._line = metrics.height() + 3.0
        across, longest = 0.0, 0.0
        for sign in signs:
            wide = _SIGN + metrics.horizontalAdvance(self._words[sign]) + _GAP
            if not self._rows or across + wide > width - 2 * (_EDGE + _PAD):
                self._rows.append([])
                across = 0.0
            self._rows[-1].append((sign, across))
            across += wide
            longest = max(longest, across)
        tall = len(self._rows) * self._line + 2 * _PAD
        self.box = QRectF(_EDGE, bottom - _EDGE - tall, longest + _PAD, tall) if self._rows else QRectF()

    def paint(self, painter: QPainter, theme: Theme) -> None:
        """Draw it on a dark plate."""
        if self.box.isEmpty():
            return
        scenes = ScenePainter(painter, ViewMapping(1.0, 0.0, 0.0), theme, self.box.right())
        painter.save()
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(0, 0, 0, 170))
        painter.drawRoundedRect(self.box, 4, 4)
        white = QColor(theme.halo_light)
        for number, row in enumerate(self._rows):
            y = self.box.top() + _PAD + (number + 0.5) * self._line
            for sign, across in row:
                left = self.box.left() + _PAD + across
                _paint_sign(painter, scenes, sign, QPointF(left + 12, y), white)
                painter.setPen(white)
                ascent = painter.fontMetrics().ascent()
                painter.drawText(QPointF(left + _SIGN, y + ascent / 2 - 1), self._words[sign])
        painter.restore()


def _paint_sign(painter: QPainter, scenes: ScenePainter, sign: Sign, at: QPointF, white: QColor) -> None:
    looks = {Sign.PLACED: Look.PLACED, Sign.FOLLOWED: Look.FOLLOWED, Sign.GUESSED: Look.GUESSED}
    if sign in looks:
        scenes.body_point(at, looks[sign], white)
        return
    if sign is Sign.OTHER:
        scenes.hollow(at - QPointF(10, 0), at + QPointF(12, 0))
        return
    far = sign is Sign.FAR
    colour = QColor(TRAIL_COLOUR) if sign is Sign.MASS else white
    painter.setPen(QPen(colour, 1.8, Qt.PenStyle.DashLine if far else Qt.PenStyle.SolidLine))
    painter.drawLine(at - QPointF(10, 0), at + QPointF(12, 0))
    if sign is Sign.MASS:
        scenes.centre_of_mass(at, Look.FOLLOWED)
