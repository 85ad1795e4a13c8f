"""The key to what lies over the picture: one line along its lower edge, more where words are large."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import copy
from enum import Enum

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from analysis.report.scene import TRAIL_COLOUR, Look, Scene
from analysis.values.words import tr
from app.film.mapping import ViewMapping
from app.film.painting import ScenePainter
from app.theme.tokens import Theme

_SIGN, _GAP, _EDGE, _PAD = 30.0, 14.0, 8.0, 5.0
_CLEAR = 8.0
"""So far from a joint it keeps, in widget points."""


_SHORT = 0.35
"""So much of the width a short legend takes at most."""


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


def legend_beside(
    scenes: Sequence[Scene],
    mapping: ViewMapping,
    metrics: QFontMetricsF,
    width: float,
    bottom: float,
    tallest: float,
) -> Legend:
    """The legend where the athlete is not: along the lower edge, else short in a corner, else not at all.

    ``tallest``: higher than this it would take too much of the picture. What is said of another run's body
    always stands.
    """
    other, signs, body = other_words(scenes), signs_of(scenes), body_places(scenes, mapping)
    whole = Legend(signs, metrics, width, bottom, other)
    if whole.box.height() <= tallest and not whole.covers(body):
        return whole
    least = Legend((Sign.OTHER,) if other else (), metrics, width, bottom, other)
    if other or whole.box.height() > tallest:
        return least
    short = Legend([one for one in signs if one is not Sign.MASS], metrics, _SHORT * width, bottom)
    corners = (short, short.at_right(width), short.at_right(width).at_top())
    fitting = short.box.height() <= 2 * tallest
    return next((one for one in corners if fitting and not one.covers(body)), least)


def body_places(scenes: Iterable[Scene], mapping: ViewMapping) -> list[tuple[float, float]]:
    """Places along the limbs, as they are shown."""
    limbs = [stroke for scene in scenes for stroke in scene.strokes if stroke.thin]
    return [
        mapping.to_widget(*(a + share * (b - a) for a, b in zip(limb.start, limb.end, strict=True)))
        for limb in limbs
        for share in (0.0, 0.25, 0.5, 0.75, 1.0)
    ]


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

    def at_right(self, width: float) -> Legend:
        """The same at the right edge of a surface."""
        return self._moved(width - _EDGE - self.box.right(), 0.0)

    def at_top(self) -> Legend:
        """The same at the upper edge."""
        return self._moved(0.0, _EDGE - self.box.top())

    def covers(self, places: Iterable[tuple[float, float]]) -> bool:
        """Whether it lies over one of these places, or close to it."""
        near = self.box.adjusted(-_CLEAR, -_CLEAR, _CLEAR, _CLEAR)
        return not self.box.isEmpty() and any(near.contains(QPointF(*place)) for place in places)

    def _moved(self, dx: float, dy: float) -> Legend:
        other = copy(self)
        other.box = self.box.translated(dx, dy)
        return other

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
