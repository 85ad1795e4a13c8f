"""The step rail as a narrow column beside the film: it grows as events pass, its numbers with it."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from PIL import Image, ImageDraw

from analysis.report.canvas import Canvas, Pixels, bgra
from analysis.report.ink import Ink
from analysis.report.lettering import Font, font_of
from analysis.report.rail_blocks import Block, Gap, RailContent
from analysis.report.rail_scale import TimeScale
from analysis.report.words import MILLISECONDS, error_text, side_letter, value_text
from analysis.values.estimate import Estimate, Result
from analysis.values.run import Side

_TEXT_SHARE, _LEAST_TEXT_PX = 1 / 38, 10
_AROUND_S = 0.06
_GROUND, _SUNKEN, _WORDS, _FAINT = "#15181B", "#262B30", "#FFFFFF", "#AEB6BD"
_BROKEN = "#F0E442"  # of the Okabe-Ito palette: a rhythm that goes against its way
_OPEN_PX = 12
LEFT_NUMBERS, LEFT, FLIGHTS, RIGHT, RIGHT_NUMBERS = range(5)


@dataclass(frozen=True)
class _Across:
    """Left edges and widths of the five columns, px, and the height of a line of text."""

    number: float
    track: float
    line: float

    def left(self, column: int) -> float:
        widths = (self.number, self.track, self.number, self.track, self.number)
        return sum(widths[:column])

    @property
    def width(self) -> int:
        return round(3 * self.number + 2 * self.track)


class RailColumn:
    """The rail of one run beside a picture that is ``height`` px high."""

    def __init__(self, content: RailContent, height: int) -> None:
        self._content, self._height, self._ink = content, height, Ink()
        px = max(_LEAST_TEXT_PX, round(height * _TEXT_SHARE))
        self._font, self._small = font_of(px), font_of(max(9, round(px * 0.8)))
        line = float(self._font.getbbox("Ag")[3])
        number = max(self._font.getlength("!888"), self._small.getlength("± 88")) + 0.3 * line
        self._across = _Across(number, 1.1 * line, line)
        begin, end = _eventful(content)
        self._scale = TimeScale.fitted(begin, end, 1.8 * line, height - 0.8 * line)
        ends = (*(block.bottom_s for block in content.blocks), *(gap.bottom_s for gap in content.gaps))
        self._ends_s = tuple(end for end in ends if end is not None)
        self._drawn: dict[tuple[bool, ...], tuple[Pixels, Pixels, Pixels]] = {}

    @property
    def width(self) -> int:
        """How wide it is, px."""
        return self._across.width

    def y(self, time_s: float) -> float:
        """Height of a moment, s of the rail's own axis, px from the top; within the column."""
        return min(max(self._scale.y(time_s), self._scale.top_px), self._scale.bottom_px)

    def track(self, side: Side) -> tuple[float, float]:
        """Left and right edge of a side's track, px."""
        left = self._across.left(LEFT if side is Side.LEFT else RIGHT)
        return left, left + self._across.track

    def pixels(self, frame: int) -> Pixels:
        """The column while the film shows a frame: what has passed by then, and where the film is."""
        now = self._content.cells.time(frame)
        passed = tuple(end <= now for end in self._ends_s)
        if passed not in self._drawn:
            self._drawn = {passed: self._finished(now)}
        ground, numbers, mask = self._drawn[passed]
        canvas = Canvas(ground.copy())
        for block in self._content.blocks:
            if block.bottom_s is None or block.bottom_s > now:
                self._block(canvas, block, now)
        y = round(self.y(now))
        left, right = round(self._across.left(LEFT)), round(self._across.left(RIGHT_NUMBERS))
        canvas.pixels[y - 1 : y + 1, left:right] = canvas.colour(_WORDS)
        cv2.copyTo(numbers, mask, canvas.pixels)
        return canvas.pixels

    def _finished(self, now: float) -> tuple[Pixels, Pixels, Pixels]:
        """What has ended: tracks and blocks; the numbers over them, and where these stand."""
        canvas = Canvas(bgra(Image.new("RGB", (self.width, self._height), _GROUND)))
        words = Image.new("RGBA", (self.width, self._height))
        draw = ImageDraw.Draw(words)
        for side in Side:
            left, right = self.track(side)
            self._fill(canvas, (left, self._scale.top_px, right, self._scale.bottom_px), _SUNKEN)
            self._words(draw, side_letter(side), ((left + right) / 2, self._across.line), self._ink.of(side))
        middle = self._across.left(FLIGHTS) + self._across.number / 2
        self._words(draw, MILLISECONDS.symbol, (middle, self._across.line), _FAINT, self._small)
        for block in self._content.blocks:
            if block.bottom_s is not None and block.bottom_s <= now:
                self._block(canvas, block, now)
        free: dict[int, float] = {}
        for gap in self._content.gaps:
            self._flight(draw, gap, now, free)
        for block in self._content.blocks:
            self._contact(draw, block, now, free)
        inked = np.ascontiguousarray(np.asarray(words)[..., [2, 1, 0, 3]])
        return canvas.pixels, inked, np.ascontiguousarray(inked[..., 3])

    def _fill(self, canvas: Canvas, box: tuple[float, float, float, float], colour: str) -> None:
        left, top, right, bottom = (round(side) for side in box)
        canvas.pixels[top : bottom + 1, left : right + 1] = canvas.colour(colour)

    def _block(self, canvas: Canvas, block: Block, now: float) -> None:
        begins = block.top_s if block.top_s is not None else block.bottom_s
        if begins is None or begins > now:
            return
        top, bottom = self._ends(block, now)
        left, right = self.track(block.track)
        bottom = max(bottom, top + 1)
        self._fill(canvas, (left + 2, top, right - 2, bottom), self._ink.of(block.side))
        if block.draft or block.push or block.top_s is None or block.bottom_s is None:
            self._fill(canvas, (left + 4, top + 2, right - 4, bottom - 2), _GROUND)

    def _ends(self, block: Block, now: float) -> tuple[float, float]:
        """Top and bottom, px; one that is not marked stands a little way off."""
        if block.top_s is None:
            assert block.bottom_s is not None
            return self.y(block.bottom_s) - _OPEN_PX, self.y(block.bottom_s)
        top = self.y(block.top_s)
        if block.bottom_s is None:
            return top, min(top + _OPEN_PX, max(top, self.y(now)))
        return top, self.y(min(block.bottom_s, now))

    def _contact(self, draw: ImageDraw.ImageDraw, block: Block, now: float, free: dict[int, float]) -> None:
        if block.top_s is None or block.bottom_s is None or block.bottom_s > now:
            return
        column = LEFT_NUMBERS if block.track is Side.LEFT else RIGHT_NUMBERS
        against = block.shift is not None and block.shift.against
        self._number(draw, block.number, (block.top_s + block.bottom_s) / 2, column, free, against=against)

    def _flight(self, draw: ImageDraw.ImageDraw, gap: Gap, now: float, free: dict[int, float]) -> None:
        if gap.bottom_s <= now:
            against = gap.shift is not None and gap.shift.against
            self._number(draw, gap.number, (gap.top_s + gap.bottom_s) / 2, FLIGHTS, free, against=against)

    def _number(
        self,
        draw: ImageDraw.ImageDraw,
        number: Result | None,
        at_s: float,
        column: int,
        free: dict[int, float],
        *,
        against: bool,
    ) -> None:
        """Value over its uncertainty; left out rather than drawn over the one before."""
        if not isinstance(number, Estimate):
            return
        line, y = self._across.line, self.y(at_s)
        if y - line < free.get(column, -line):
            return
        free[column] = y + line
        x = self._across.left(column) + self._across.number / 2
        value = value_text(number, MILLISECONDS)
        self._words(
            draw, f"!{value}" if against else value, (x, y - 0.45 * line), _BROKEN if against else _WORDS
        )
        self._words(draw, error_text(number, MILLISECONDS), (x, y + 0.5 * line), _FAINT, self._small)

    def _words(
        self,
        draw: ImageDraw.ImageDraw,
        words: str,
        middle: tuple[float, float],
        colour: str,
        font: Font | None = None,
    ) -> None:
        font = font or self._font
        left, top, right, bottom = draw.textbbox(middle, words, font, anchor="mm")
        draw.rectangle((left - 1, top - 1, right + 1, bottom + 1), _GROUND)  # the playhead strikes none out
        draw.text(middle, words, colour, font, anchor="mm")


def _eventful(content: RailContent) -> tuple[float, float]:
    """From a little before the first event to a little after the last; the whole run where none is tagged."""
    cells = content.cells
    if not content.events:
        return cells.start(cells.first), cells.time(cells.last) + _AROUND_S
    begin, end = (cells.time(content.events[n].frame) for n in (0, -1))
    return begin - _AROUND_S, end + _AROUND_S
