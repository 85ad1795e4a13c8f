"""The rail's columns: axis, left numbers, left track, flights, right track, right numbers."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QFontMetricsF

from analysis.values.run import Side
from analysis.values.words import tr
from app.theme.apply import sized
from app.theme.tokens import TARGET_PX, Space, Type

_WIDEST_NUMBER = "888 ± 88"
_WIDEST_TIME = "88.888"


@dataclass(frozen=True)
class Columns:
    """Left edges and widths in pixels, from the font; ``line`` is the height of a line of numbers."""

    axis: float
    number: float
    track: float
    flight: float
    mark: float
    line: float
    header: float
    left: float

    @classmethod
    def of(cls, font: QFont, width: float = 0.0) -> Columns:
        """Columns for a font, in the middle of ``width`` where that is more than they need."""
        small = QFontMetricsF(sized(font, Type.CAPTION))
        heavy = QFontMetricsF(sized(font, Type.CAPTION, bold=True))
        mark = small.height() * 0.6 + Space.SMALL
        words = max(small.horizontalAdvance(word) for word in (tr("contact"), tr("flight")))
        number = max(heavy.horizontalAdvance(_WIDEST_NUMBER), words) + mark + Space.BASE
        track = max(heavy.horizontalAdvance(tr("front")) + Space.SECTION, float(TARGET_PX) + Space.BASE)
        axis = small.horizontalAdvance(_WIDEST_TIME) + Space.BASE
        line = small.height()
        plain = cls(axis, number, track, number, mark, line, 2 * line + Space.SECTION, 0.0)
        return cls(axis, number, track, number, mark, line, plain.header, max(0.0, (width - plain.width) / 2))

    @property
    def width(self) -> float:
        """What all columns need."""
        return self.axis + 2 * self.number + 2 * self.track + self.flight + Space.BASE

    def number_x(self, side: Side | None) -> float:
        """Left edge of a side's numbers."""
        return self.left + self.axis if side is not Side.RIGHT else self.track_x(side) + self.track

    def track_x(self, side: Side | None) -> float:
        """Left edge of a side's track."""
        first = self.left + self.axis + self.number
        return first if side is not Side.RIGHT else first + self.track + self.flight

    @property
    def flight_x(self) -> float:
        """Left edge of the flights' numbers."""
        return self.track_x(Side.LEFT) + self.track

    def track_rect(self, side: Side | None, top: float, bottom: float) -> QRectF:
        """A piece of a track."""
        return QRectF(self.track_x(side), top, self.track, bottom - top)
