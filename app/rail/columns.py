"""The rail's columns: axis, left numbers, left track, flights, right track, right numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QFontMetricsF

from analysis.values.run import Side
from analysis.values.words import tr
from app.theme.apply import sized
from app.theme.tokens import TARGET_PX, Space, Type

_WIDEST_VALUE = "888"
_WIDEST_ERROR = "± 88"
_WIDEST_TIME = "88.888"


@dataclass(frozen=True)
class Columns:
    """Left edges and widths in pixels, from the font.

    ``line``: height of a line of numbers. ``stacked``: there is too little room for a value and its
    uncertainty on one line, so they stand one above the other.
    """

    axis: float
    number: float
    track: float
    mark: float
    line: float
    header: float
    left: float
    stacked: bool

    @classmethod
    def of(cls, font: QFont, width: float = 0.0) -> Columns:
        """Columns for a font in ``width``, in its middle where that is more than enough; 0: the narrowest."""
        wide = cls._plain(font, stacked=False)
        fitting = wide if width >= wide.width else cls._plain(font, stacked=True)
        return replace(fitting, left=max(0.0, (width - fitting.width) / 2))

    @classmethod
    def widest(cls, font: QFont) -> Columns:
        """Columns with everything on one line."""
        return cls._plain(font, stacked=False)

    @classmethod
    def _plain(cls, font: QFont, *, stacked: bool) -> Columns:
        small = QFontMetricsF(sized(font, Type.CAPTION))
        heavy = QFontMetricsF(sized(font, Type.CAPTION, bold=True))
        line = small.height()
        mark = line * 0.6 + Space.SMALL
        words = max(small.horizontalAdvance(word) for word in (tr("contact"), tr("flight")))
        if stacked:
            numbers = max(
                heavy.horizontalAdvance(_WIDEST_VALUE) + mark, small.horizontalAdvance(_WIDEST_ERROR)
            )
        else:
            value = heavy.horizontalAdvance(_WIDEST_VALUE)
            numbers = value + small.horizontalAdvance(f" {_WIDEST_ERROR}") + mark
        number = max(numbers, words) + 2 * Space.SMALL
        room = Space.BASE if stacked else Space.SECTION
        track = max(heavy.horizontalAdvance(tr("front")) + room, float(TARGET_PX) + Space.BASE)
        axis = small.horizontalAdvance(_WIDEST_TIME) + Space.BASE
        return cls(axis, number, track, mark, line, 2 * line + Space.SECTION, 0.0, stacked)

    @property
    def flight(self) -> float:
        """Width between the tracks."""
        return self.number

    @property
    def number_height(self) -> float:
        """Height of a value with its uncertainty."""
        return self.line * (1.9 if self.stacked else 1.0)

    @property
    def width(self) -> float:
        """What all columns need."""
        return self.axis + 3 * self.number + 2 * self.track

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
