"""Draws the rail's content; knows nothing of mouse and keys."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from analysis.report.rail_blocks import Block, Gap, RailContent
from analysis.report.rail_scale import TimeScale
from analysis.report.words import MILLISECONDS, figure, side_letter
from analysis.values.run import Side
from analysis.values.words import tr
from app.rail.columns import Columns
from app.rail.edges import Edge
from app.rail.ink import Align, Ink
from app.theme.tokens import FOCUS_PX, Radius, Space, Theme

_OPEN_END_PX = 18.0
_GRIP_PX = 3.5


@dataclass(frozen=True)
class RailPainter:
    """Paints one state of the rail.

    Attributes:
        ink: the pen, with painter and theme.
        columns: where things stand across.
        scale: where times stand.
        content: what there is to show.

    """

    ink: Ink
    columns: Columns
    scale: TimeScale
    content: RailContent

    @property
    def painter(self) -> QPainter:
        """What it paints with."""
        return self.ink.painter

    @property
    def theme(self) -> Theme:
        """The colours."""
        return self.ink.theme

    def ground(self, area: QRectF, playhead_s: float) -> None:
        """Tracks, axis, flights' brackets and blocks, as far as they meet ``area``."""
        self._tracks()
        self._axis(area, self.scale.y(playhead_s))
        for gap in self.content.gaps:
            self._bracket(gap)
        for block in self.content.blocks:
            if self._meets(block, area):
                self._block(block)

    def numbers(self, area: QRectF) -> None:
        """Contact and flight times; they lie over the playhead, so that it strikes none out."""
        free_from: dict[str, float] = {}
        for gap in self.content.gaps:
            box = QRectF(self.columns.flight_x, 0, self.columns.flight, self.columns.number_height)
            box.moveCenter(QPointF(box.center().x(), self.scale.y((gap.top_s + gap.bottom_s) / 2)))
            if _has_room(free_from, "flight", box) and box.intersects(area):
                self.ink.number(box, gap.number, gap.shift, Align.AlignHCenter)
        for block in self.content.blocks:
            self._sure(block, area)
            if block.number is None or block.top_s is None or block.bottom_s is None:
                continue
            x, columns = self.columns.number_x(block.track), self.columns
            box = QRectF(x, 0, columns.number, columns.number_height)
            box = box.adjusted(Space.SMALL, 0, -Space.SMALL, 0)
            box.moveCenter(QPointF(box.center().x(), self.scale.y((block.top_s + block.bottom_s) / 2)))
            if _has_room(free_from, block.track, box) and box.intersects(area):
                towards = Align.AlignRight if block.track is Side.LEFT else Align.AlignLeft
                self.ink.number(box, block.number, block.shift, towards)

    def _sure(self, block: Block, area: QRectF) -> None:
        """How sure a draft is, where its contact time will stand."""
        if block.confidence is None or block.number is not None:
            return
        box = QRectF(self.columns.number_x(block.track), 0, self.columns.number, self.columns.line)
        box = box.adjusted(Space.SMALL, 0, -Space.SMALL, 0)
        box.moveCenter(QPointF(box.center().x(), sum(self._span(block)) / 2))
        if box.intersects(area):
            towards = Align.AlignRight if block.track is Side.LEFT else Align.AlignLeft
            words = tr("{sure} %").format(sure=round(100 * block.confidence))
            self.ink.text(box, words, self.theme.muted, towards | Align.AlignVCenter)

    def edge(self, edge: Edge, colour: str) -> None:
        """An edge with its two grips."""
        block = self.content.block(edge.footfall_id, edge.which)
        time_s = block.edge_s(edge.which) if block else None
        if block is None or time_s is None:
            return
        y = self.scale.y(time_s)
        track = self.columns.track_rect(block.track, y, y)
        self.painter.setPen(QPen(QColor(colour), FOCUS_PX + 0.5))
        self.painter.drawLine(track.topLeft(), track.topRight())
        self.painter.setPen(QPen(QColor(self.theme.surface), 1))
        self.painter.setBrush(QColor(colour))
        for end in (track.topLeft(), track.topRight()):
            self.painter.drawEllipse(end, _GRIP_PX + 0.5, _GRIP_PX + 0.5)

    def playhead(self, time_s: float, width: float, *, focused: bool) -> None:
        """The line that says where the film is, with its time on the axis."""
        columns, painter = self.columns, self.painter
        y = self.scale.y(time_s)
        colour = self.theme.accent if focused else self.theme.playhead
        chip = QRectF(columns.left + Space.HAIR, 0, columns.axis - Space.TIGHT, columns.line + 2)
        chip.moveCenter(QPointF(chip.center().x(), y))
        for tint, thickness in ((self.theme.surface, 3.5), (colour, 1.5)):
            painter.setPen(QPen(QColor(tint), thickness))
            painter.drawLine(QPointF(chip.right(), y), QPointF(width, y))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colour))
        painter.drawRoundedRect(chip, Radius.MARK + 1, Radius.MARK + 1)
        self.ink.text(chip, figure(time_s, 3), self.theme.on_accent if focused else self.theme.surface)

    def header(self, width: float) -> None:
        """Letters of the sides and what the columns hold; it does not move with the axis."""
        columns, painter, theme = self.columns, self.painter, self.theme
        painter.fillRect(QRectF(0, 0, width, columns.header), QColor(theme.surface))
        top = float(Space.SMALL)
        for side in Side:
            chip = QRectF(
                columns.track_x(side), top + columns.line / 2 - 2, columns.track, columns.line + Space.TIGHT
            )
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(theme.side(side).fill))
            painter.drawRoundedRect(chip, Radius.CONTROL, Radius.CONTROL)
            self.ink.text(chip, side_letter(side), theme.side(side).on_fill, bold=True)
        captions = (
            (columns.number_x(Side.LEFT), columns.number, tr("contact"), Align.AlignRight),
            (columns.flight_x, columns.flight, tr("flight"), Align.AlignHCenter),
            (columns.number_x(Side.RIGHT), columns.number, tr("contact"), Align.AlignLeft),
        )
        for x, across, words, align in captions:
            box = QRectF(x, top, across, columns.line).adjusted(Space.SMALL, 0, -Space.SMALL, 0)
            self.ink.text(box, words, theme.muted, align)
            self.ink.text(box.translated(0, columns.line), MILLISECONDS.symbol, theme.muted, align)
        axis = QRectF(columns.left, top + columns.line, columns.axis - Space.SMALL, columns.line)
        self.ink.text(axis, tr("s"), theme.muted, Align.AlignRight)
        painter.setPen(QPen(QColor(theme.border), 1))
        painter.drawLine(QPointF(0, columns.header - 0.5), QPointF(width, columns.header - 0.5))

    def scroll_mark(self, right: float) -> None:
        """A bar that tells which part of the run is in sight, while zoomed."""
        scale = self.scale
        if scale.zoom <= 1.0:
            return
        height = scale.bottom_px - scale.top_px
        top = scale.top_px + height * (scale.top_s - scale.first_s) / (scale.last_s - scale.first_s)
        bar = QRectF(right - 4, top, 3, max(height / scale.zoom, 12.0))
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(QColor(self.theme.outline))
        self.painter.drawRoundedRect(bar, 1.5, 1.5)

    def _tracks(self) -> None:
        for side in Side:
            rect = self.columns.track_rect(side, self.columns.header, self.scale.bottom_px + 1e3)
            self.painter.fillRect(rect, QColor(self.theme.sunken))

    def _axis(self, area: QRectF, playhead_y: float) -> None:
        columns = self.columns
        step, times = self.scale.ticks(columns.line * 2.6)
        for time in times:
            y = self.scale.y(time)
            box = QRectF(columns.left, y - columns.line / 2, columns.axis - Space.SMALL, columns.line)
            if not box.intersects(QRectF(0, area.top(), 1e4, area.height())):
                continue
            if abs(y - playhead_y) > columns.line:  # there stands the playhead's own time
                align = Align.AlignRight | Align.AlignVCenter
                self.ink.text(box, figure(time, 2 if step < 0.1 else 1), self.theme.muted, align)
            self.painter.setPen(QPen(QColor(self.theme.border), 1))
            for side in Side:
                track = columns.track_rect(side, y, y)
                self.painter.drawLine(track.topLeft(), track.topRight())

    def _bracket(self, gap: Gap) -> None:
        """From the foot that leaves to the foot that lands."""
        top, bottom = self.scale.y(gap.top_s), self.scale.y(gap.bottom_s)
        middle = self.columns.flight_x + self.columns.flight / 2
        reach = self.columns.flight / 2 if gap.side is Side.LEFT else -self.columns.flight / 2
        self.painter.setPen(QPen(QColor(self.theme.outline), 1))
        corners = (middle - reach, top), (middle, top), (middle, bottom), (middle + reach, bottom)
        self.painter.drawPolyline([QPointF(x, y) for x, y in corners])

    def _span(self, block: Block) -> tuple[float, float]:
        """Top and bottom in pixels; an end that is not marked stands a little way off."""
        top = None if block.top_s is None else self.scale.y(block.top_s)
        bottom = None if block.bottom_s is None else self.scale.y(block.bottom_s)
        if top is None:
            top = (bottom or 0.0) - _OPEN_END_PX
        return top, top + _OPEN_END_PX if bottom is None else bottom

    def _meets(self, block: Block, area: QRectF) -> bool:
        top, bottom = self._span(block)
        return bottom >= area.top() - 2 and top <= area.bottom() + 2

    def _block(self, block: Block) -> None:
        theme, painter = self.theme, self.painter
        rect = self.columns.track_rect(block.track, *self._span(block)).adjusted(3, 0, -3, 0)
        fill = theme.side(block.side).fill if block.side else theme.outline
        open_end = block.top_s is None or block.bottom_s is None
        hollow = block.draft or open_end or block.push
        if hollow:
            ink = theme.side(block.side).text if block.side else theme.text
            style = Qt.PenStyle.DashLine if block.draft or open_end else Qt.PenStyle.SolidLine
            painter.setBrush(QColor(theme.surface))
            painter.setPen(QPen(QColor(fill), 1.5, style))
            shape = rect.adjusted(0.75, 0.75, -0.75, -0.75)
        else:
            ink = theme.side(block.side).on_fill if block.side else theme.surface
            painter.setBrush(QColor(fill))
            painter.setPen(Qt.PenStyle.NoPen)
            shape = rect
        painter.drawRoundedRect(shape, Radius.MARK, Radius.MARK)
        if open_end and not block.draft:  # the end that is marked is solid
            y = rect.top() + 1.5 if block.top_s is not None else rect.bottom() - 1.5
            painter.setPen(QPen(QColor(fill), 3))
            painter.drawLine(QPointF(rect.left(), y), QPointF(rect.right(), y))
        if rect.height() >= self.columns.line:
            self.ink.text(rect, block.label, ink, bold=True)


def _has_room(free_from: dict[str, float], column: str, box: QRectF) -> bool:
    """Whether a number can stand there: zoomed out, some are left out rather than drawn over each other."""
    if box.top() < free_from.get(column, -1e9):
        return False
    free_from[column] = box.bottom()
    return True
