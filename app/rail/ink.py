"""Writing on the rail: words, numbers, and how a number stands to the step before."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPolygonF

from analysis.report.shifts import Shift
from analysis.report.words import MILLISECONDS, error_text, value_text
from analysis.values.estimate import Result
from app.theme.apply import sized
from app.theme.tokens import Space, Theme, Type

Align = Qt.AlignmentFlag


@dataclass(frozen=True)
class Ink:
    """A pen for words. ``mark``: width kept for the sign beside a number; ``line``: height of a line."""

    painter: QPainter
    theme: Theme
    font: QFont
    mark: float
    line: float

    def text(
        self, box: QRectF, words: str, colour: str, align: Align = Align.AlignCenter, *, bold: bool = False
    ) -> None:
        """Words in a box; they may reach over its edge rather than be cut."""
        self.painter.setFont(sized(self.font, Type.CAPTION, bold=bold))
        self.painter.setPen(QColor(colour))
        self.painter.drawText(box, int(align | Qt.TextFlag.TextDontClip), words)

    def number(self, box: QRectF, number: Result, shift: Shift | None, align: Align) -> None:
        """Value, fainter uncertainty, and the sign of its shift; what lies below is covered.

        In a box of two lines the uncertainty stands below the value.
        """
        value, error = value_text(number, MILLISECONDS), error_text(number, MILLISECONDS)
        stacked = box.height() > 1.5 * self.line
        error = f" {error}" if error and not stacked else error
        first = QFontMetricsF(sized(self.font, Type.CAPTION, bold=True)).horizontalAdvance(value)
        second = QFontMetricsF(sized(self.font, Type.CAPTION)).horizontalAdvance(error)
        across = first if stacked else first + second
        if align is Align.AlignRight:
            x = box.right() - across
        elif align is Align.AlignLeft:
            x = box.left()
        else:
            x = box.center().x() - (across + (self.mark if shift else 0.0)) / 2
        before = self.mark if shift and align is Align.AlignRight else 0.0
        after = self.mark if shift and align is not Align.AlignRight else 0.0
        head = QRectF(x - before, box.top(), before + across + after, self.line)
        below = QRectF(x, box.bottom() - self.line, second, self.line)
        if align is Align.AlignRight:
            below.moveRight(box.right())
        for ground in (head, below) if stacked else (head,):
            self.painter.fillRect(ground.adjusted(-Space.HAIR, 0, Space.HAIR, 0), QColor(self.theme.surface))
        flags = Align.AlignLeft | Align.AlignVCenter
        self.text(QRectF(x, box.top(), first, self.line), value, self.theme.text, flags, bold=True)
        behind = QRectF(x + first, box.top(), second, self.line)
        self.text(below if stacked else behind, error, self.theme.muted, flags)
        if shift is not None:
            centre = head.left() + before / 2 if before else head.right() - after / 2
            self._shift(QPointF(centre, head.center().y()), shift)

    def _shift(self, centre: QPointF, shift: Shift) -> None:
        """A wave: not told apart. A wedge: longer (up), shorter (down); with a bar where it goes against."""
        half = self.mark * 0.36
        if not shift.told_apart:
            box = QRectF(centre.x() - self.mark / 2, centre.y() - self.line / 2, self.mark, self.line)
            self.text(box, "≈", self.theme.muted)
            return
        way = -1.0 if shift.rose else 1.0
        tip, foot = centre.y() + way * half * 0.8, centre.y() - way * half * 0.8
        left, right = centre.x() - half, centre.x() + half
        colour = QColor(self.theme.warning if shift.against else self.theme.text)
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(colour)
        self.painter.drawPolygon(
            QPolygonF([QPointF(left, foot), QPointF(right, foot), QPointF(centre.x(), tip)])
        )
        if shift.against:
            near, far = tip + way, tip + way * 3
            self.painter.drawRect(QRectF(left, min(near, far), right - left, 2))
