"""Draws the rail's content; knows nothing of mouse and keys."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from analysis.values.estimate import Result
from analysis.values.run import Side
from analysis.values.words import tr
from app.rail.blocks import Block, Gap, RailContent, Shift
from app.rail.columns import Columns
from app.rail.edges import Edge
from app.rail.geometry import TimeScale
from app.theme.apply import sized
from app.theme.tokens import FOCUS_PX, Radius, Space, Theme, Type
from app.words import MILLISECONDS, error_text, side_letter, value_text

_CENTRE = Qt.AlignmentFlag.AlignCenter
_OPEN_END_PX = 18.0
_EDGE_OVERHANG = 4.0


@dataclass(frozen=True)
class RailPainter:
    """Paints one state of the rail.

    Attributes:
        columns: where things stand across.
        scale: where times stand.

    """

    painter: QPainter
    theme: Theme
    font: QFont
    columns: Columns
    scale: TimeScale
    content: RailContent

    def paint(self, area: QRectF, selected: Edge | None, hovered: Edge | None) -> None:
        """Everything but header and playhead, as far as it meets ``area``."""
        self.painter.save()
        body = QRectF(area.left(), self.scale.top_px - self.columns.line / 2, area.width(), 1e5)
        self.painter.setClipRect(body, Qt.ClipOperation.IntersectClip)
        self._tracks()
        self._axis(area)
        roomy = self._roomy()
        for gap in self.content.gaps:
            self._gap(gap, area, numbered=gap.name in roomy)
        for block in self.content.blocks:
            self._block(block, area, numbered=block.name in roomy)
        for edge, colour in ((hovered, self.theme.text), (selected, self.theme.accent)):
            if edge is not None:
                self._edge(edge, QColor(colour))
        self.painter.restore()

    def header(self, width: float) -> None:
        """Letters of the sides and what the columns hold; it does not move with the axis."""
        columns, painter, theme = self.columns, self.painter, self.theme
        painter.fillRect(QRectF(0, 0, width, columns.header), QColor(theme.surface))
        line = columns.line
        top = Space.TIGHT
        chip_height = line + Space.TIGHT
        for side in Side:
            chip = QRectF(columns.track_x(side), top + line / 2, columns.track, chip_height)
            colours = theme.side(side)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(colours.fill))
            painter.drawRoundedRect(chip, Radius.CONTROL, Radius.CONTROL)
            self._text(chip, side_letter(side), colours.on_fill, bold=True)
        captions = (
            (columns.number_x(Side.LEFT), columns.number, tr("contact"), Qt.AlignmentFlag.AlignRight),
            (columns.flight_x, columns.flight, tr("flight"), Qt.AlignmentFlag.AlignHCenter),
            (columns.number_x(Side.RIGHT), columns.number, tr("contact"), Qt.AlignmentFlag.AlignLeft),
        )
        for x, across, words, align in captions:
            box = QRectF(x, top, across, line).adjusted(Space.SMALL, 0, -Space.SMALL, 0)
            self._text(box, words, theme.muted, align)
            self._text(box.translated(0, line), MILLISECONDS.symbol, theme.muted, align)
        axis = QRectF(columns.left, top + line, columns.axis - Space.SMALL, line)
        self._text(axis, tr("s"), theme.muted, Qt.AlignmentFlag.AlignRight)
        painter.setPen(QPen(QColor(theme.border), 1))
        painter.drawLine(QPointF(0, columns.header - 0.5), QPointF(width, columns.header - 0.5))

    def playhead(self, time_s: float, width: float, *, focused: bool) -> None:
        """The line that says where the film is, with its time on the axis."""
        columns, painter = self.columns, self.painter
        y = self.scale.y(time_s)
        colour = QColor(self.theme.accent if focused else self.theme.playhead)
        chip = QRectF(
            columns.left + Space.HAIR, y - columns.line / 2 - 1, columns.axis - Space.TIGHT, columns.line + 2
        )
        painter.setPen(QPen(QColor(self.theme.surface), 3.5))
        painter.drawLine(QPointF(chip.right(), y), QPointF(width, y))
        painter.setPen(QPen(colour, 1.5))
        painter.drawLine(QPointF(chip.right(), y), QPointF(width, y))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        painter.drawRoundedRect(chip, Radius.MARK + 1, Radius.MARK + 1)
        ink = self.theme.on_accent if focused else self.theme.surface
        self._text(chip, f"{time_s:.2f}".replace("-", "\N{MINUS SIGN}"), ink)

    def scroll_mark(self, right: float) -> None:
        """A bar that tells which part of the run is in sight, while zoomed."""
        scale = self.scale
        if scale.zoom <= 1.0:
            return
        height = scale.bottom_px - scale.top_px
        span = scale.last_s - scale.first_s
        top = scale.top_px + height * (scale.top_s - scale.first_s) / span
        bar = QRectF(right - 4, top, 3, max(height / scale.zoom, 12.0))
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(QColor(self.theme.outline))
        self.painter.drawRoundedRect(bar, 1.5, 1.5)

    def _tracks(self) -> None:
        for side in Side:
            rect = self.columns.track_rect(side, self.scale.top_px - 1e3, self.scale.bottom_px + 1e3)
            self.painter.fillRect(rect, QColor(self.theme.sunken))

    def _axis(self, area: QRectF) -> None:
        columns = self.columns
        step, times = self.scale.ticks(columns.line * 2.6)
        decimals = 2 if step < 0.1 else 1
        for time in times:
            y = self.scale.y(time)
            if abs(y - area.center().y()) > area.height() / 2 + columns.line:
                continue
            box = QRectF(columns.left, y - columns.line / 2, columns.axis - Space.SMALL, columns.line)
            words = f"{time:.{decimals}f}".replace("-", "\N{MINUS SIGN}")
            self._text(
                box, words, self.theme.muted, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            )
            self.painter.setPen(QPen(QColor(self.theme.border), 1))
            for side in Side:
                track = columns.track_rect(side, y, y)
                self.painter.drawLine(track.topLeft(), track.topRight())

    def _roomy(self) -> set[str]:
        """What has room for its number: numbers are left out rather than drawn over each other."""
        found: set[str] = set()
        free_from: dict[str, float] = {}
        gaps = [("flight", (gap.top_s + gap.bottom_s) / 2, gap.name) for gap in self.content.gaps]
        blocks = [
            (block.track.value, (block.top_s + block.bottom_s) / 2, block.name)
            for block in self.content.blocks
            if block.number is not None and block.top_s is not None and block.bottom_s is not None
        ]
        for column, time_s, name in gaps + blocks:
            y = self.scale.y(time_s)
            if y >= free_from.get(column, -1e9):
                found.add(name)
                free_from[column] = y + self.columns.line
        return found

    def _gap(self, gap: Gap, area: QRectF, *, numbered: bool) -> None:
        columns = self.columns
        top, bottom = self.scale.y(gap.top_s), self.scale.y(gap.bottom_s)
        if not _meets(area, top, bottom, columns.line):
            return
        x = columns.flight_x
        self.painter.setPen(QPen(QColor(self.theme.outline), 1, Qt.PenStyle.DotLine))
        middle = x + columns.flight / 2
        reach = columns.flight / 2 if gap.side is Side.LEFT else -columns.flight / 2
        self.painter.drawLine(QPointF(middle - reach, top), QPointF(middle, top))
        self.painter.drawLine(QPointF(middle, bottom), QPointF(middle + reach, bottom))
        if not numbered:
            return
        box = QRectF(x, (top + bottom - columns.line) / 2, columns.flight, columns.line)
        self.painter.fillRect(box.adjusted(Space.TIGHT, 0, -Space.TIGHT, 0), QColor(self.theme.surface))
        self._number(box, gap.number, gap.shift, Qt.AlignmentFlag.AlignHCenter)

    def _block(self, block: Block, area: QRectF, *, numbered: bool) -> None:
        top_s, bottom_s = block.top_s, block.bottom_s
        top = self.scale.y(top_s) if top_s is not None else self.scale.y(bottom_s or 0.0) - _OPEN_END_PX
        bottom = self.scale.y(bottom_s) if bottom_s is not None else top + _OPEN_END_PX
        if not _meets(area, top, bottom, self.columns.line):
            return
        rect = self.columns.track_rect(block.track, top, bottom).adjusted(3, 0, -3, 0)
        ink = self._body(block, rect)
        if rect.height() >= self.columns.line - 2:
            self._text(rect, block.label, ink, bold=True)
        if block.number is not None and numbered:
            column = QRectF(
                self.columns.number_x(block.track),
                (top + bottom - self.columns.line) / 2,
                self.columns.number,
                self.columns.line,
            ).adjusted(Space.SMALL, 0, -Space.SMALL, 0)
            towards = Qt.AlignmentFlag.AlignRight if block.track is Side.LEFT else Qt.AlignmentFlag.AlignLeft
            self._number(column, block.number, block.shift, towards)

    def _body(self, block: Block, rect: QRectF) -> str:
        """Draw the block's shape; the colour for what is written on it comes back."""
        theme, painter = self.theme, self.painter
        fill = QColor(theme.side(block.side).fill if block.side else theme.outline)
        ink = theme.side(block.side).text if block.side else theme.text
        open_end = block.top_s is None or block.bottom_s is None
        if block.draft or open_end:
            painter.setBrush(QColor(theme.surface))
            painter.setPen(QPen(fill, 1.5, Qt.PenStyle.DashLine))
        elif block.push:
            painter.setBrush(QColor(theme.surface))
            painter.setPen(QPen(fill, 1.5))
        else:
            painter.setBrush(fill)
            painter.setPen(Qt.PenStyle.NoPen)
            ink = theme.side(block.side).on_fill if block.side else theme.surface
        inset = 0.75 if painter.pen().style() is not Qt.PenStyle.NoPen else 0.0
        painter.drawRoundedRect(rect.adjusted(inset, inset, -inset, -inset), Radius.MARK, Radius.MARK)
        if open_end and not block.draft:
            painter.setPen(QPen(fill, 3))
            y = rect.top() + 1.5 if block.top_s is not None else rect.bottom() - 1.5
            painter.drawLine(QPointF(rect.left(), y), QPointF(rect.right(), y))
        return ink

    def _edge(self, edge: Edge, colour: QColor) -> None:
        block = self.content.block(edge.footfall_id)
        time_s = block.edge_s(edge.which) if block else None
        if block is None or time_s is None:
            return
        y = self.scale.y(time_s)
        track = self.columns.track_rect(block.track, y, y)
        self.painter.setPen(QPen(colour, FOCUS_PX + 0.5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        left, right = track.left() - _EDGE_OVERHANG + 3, track.right() + _EDGE_OVERHANG - 3
        self.painter.drawLine(QPointF(left, y), QPointF(right, y))
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(colour)
        self.painter.drawEllipse(QPointF(left, y), 3.5, 3.5)
        self.painter.drawEllipse(QPointF(right, y), 3.5, 3.5)

    def _number(self, box: QRectF, number: Result, shift: Shift | None, align: Qt.AlignmentFlag) -> None:
        """Value, fainter uncertainty, and beside it how it stands to the step before."""
        value, error = value_text(number, MILLISECONDS), error_text(number, MILLISECONDS)
        heavy, light = sized(self.font, Type.CAPTION, bold=True), sized(self.font, Type.CAPTION)
        first = QFontMetricsF(heavy).horizontalAdvance(value)
        second = QFontMetricsF(light).horizontalAdvance(" " + error) if error else 0.0
        mark = self.columns.mark
        if align is Qt.AlignmentFlag.AlignRight:
            x = box.right() - first - second
        elif align is Qt.AlignmentFlag.AlignLeft:
            x = box.left()
        else:
            x = box.center().x() - (first + second + mark) / 2
        flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        self._text(QRectF(x, box.top(), first + 2, box.height()), value, self.theme.text, flags, bold=True)
        if error:
            self._text(
                QRectF(x + first, box.top(), second + 2, box.height()), " " + error, self.theme.muted, flags
            )
        if shift is not None:
            towards_left = align is Qt.AlignmentFlag.AlignRight
            centre = x - mark / 2 if towards_left else x + first + second + mark / 2
            self._shift(QPointF(centre, box.center().y()), shift)

    def _shift(self, centre: QPointF, shift: Shift) -> None:
        """A wave: not told apart. A wedge: longer (up), shorter (down); with a bar where it goes against."""
        half = self.columns.mark * 0.3
        if not shift.told_apart:
            box = QRectF(
                centre.x() - half * 2, centre.y() - self.columns.line / 2, half * 4, self.columns.line
            )
            self._text(box, "≈", self.theme.muted)
            return
        way = -1.0 if shift.rose else 1.0
        colour = QColor(self.theme.warning if shift.against else self.theme.text)
        tip, foot = centre.y() + way * half, centre.y() - way * half * 0.7
        wedge = [QPointF(centre.x() - half, foot), QPointF(centre.x() + half, foot), QPointF(centre.x(), tip)]
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(colour)
        self.painter.drawPolygon(QPolygonF(wedge))
        if shift.against:
            self.painter.fillRect(
                QRectF(centre.x() - half, tip + (0 if way > 0 else -2) + way, half * 2, 2), colour
            )

    def _text(
        self,
        box: QRectF,
        words: str,
        colour: str,
        align: Qt.AlignmentFlag = _CENTRE,
        *,
        bold: bool = False,
    ) -> None:
        self.painter.setFont(sized(self.font, Type.CAPTION, bold=bold))
        self.painter.setPen(QColor(colour))
        self.painter.drawText(box, int(align | Qt.TextFlag.TextDontClip), words)


def _meets(area: QRectF, top: float, bottom: float, margin: float) -> bool:
    return bottom >= area.top() - margin and top <= area.bottom() + margin
