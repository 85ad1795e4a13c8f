"""A table of a page on sheets of the PDF: never a row torn apart, never one row alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from fpdf.enums import MethodReturnValue, XPos, YPos

from analysis.report.content import Table
from analysis.report.pdf_sheet import INK, LEAST_PT, LINE, QUIET, Sheet

_SIZES_PT = (8.5, 8.2, LEAST_PT)
_FIXED = "\N{NO-BREAK SPACE}"
_SHORT = 9  # letters: a header no longer than that stays in one line
_SURELY = 0.95  # of a cell's width: letters one by one are a little wider than together
_PAD_MM = 1.1  # at either side of a cell
_ABOVE_MM = 0.35  # and above and below it
_ROOM_MM = 2 * _PAD_MM + 0.4
_MOST_LINES = 3  # of a name beside many numbers
_LEADING = 0.9  # of that of other words

Row = Sequence[str]


@dataclass(frozen=True)
class _Plan:
    """How a table is set. ``size``: of its type, points; ``widths``: of its columns, mm."""

    size: float
    widths: tuple[float, ...]
    head: Row
    rows: tuple[Row, ...]


def write_table(paper: Sheet, block: Table) -> None:
    """Write a table. Where its columns have no room each ± goes below its number; where that does not help
    either, the columns are parted into two tables, one below the other.
    """
    plan = _planned(paper, block)
    if plan is None:
        for part in _halves(block):
            write_table(paper, part)
            paper.ln(1.5)
        return
    paper.dress(plan.size)
    paper.set_draw_color(*LINE)
    paper.set_line_width(0.15)
    sides = ["L", *("R" if look == "number" else "L" for look in block.looks)]
    heights = [_height(paper, plan.widths, row) for row in plan.rows]
    top = _height(paper, plan.widths, plan.head)
    if paper.lacks(top + sum(heights[:2])):
        paper.add_page()
    _write_head(paper, plan, sides)
    for place, (row, high) in enumerate(zip(plan.rows, heights, strict=True)):
        last_two = place == len(heights) - 2 and place > 0
        if paper.lacks(high + (heights[-1] if last_two else 0.0)):
            paper.add_page()
            _write_head(paper, plan, sides)
        _write_row(paper, plan.widths, row, sides, high)


def _planned(paper: Sheet, block: Table) -> _Plan | None:
    """The largest type with which the table fits the sheet; None where none does."""
    head = [paper.told(words) for words in (block.corner, *block.head)]
    texts = [(line.name, *(number.text for number in line.numbers)) for line in block.lines]
    whole = [[paper.told(text) for text in row] for row in texts]
    numbers = [False, *(look == "number" for look in block.looks)]
    plain, stacked = (list(_rows(whole, numbers, between)) for between in (_FIXED, "\n"))
    ways = ((plain, False), *(((plain, True),) if block.is_list else ()), (stacked, False), (stacked, True))
    for rows, broken in ways:
        for size in (LEAST_PT,) if broken else _SIZES_PT:
            wish = _widths(paper, size, head, rows, numbers)
            found = _narrowed(paper, wish, head, rows) if broken else wish
            if sum(found) <= paper.epw and (block.is_list or not broken or _shallow(wish, found)):
                return _Plan(size, tuple(found), head, tuple(rows))
    return None


def _rows(rows: Sequence[Row], numbers: Sequence[bool], between: str) -> Iterator[Row]:
    """With what stands between a number and its ±; neither breaks by itself."""
    for row in rows:
        yield tuple(
            text.replace(" ± ", f"{between}±{_FIXED}").replace(" ", _FIXED) if number else text
            for text, number in zip(row, numbers, strict=True)
        )


def _widths(
    paper: Sheet, size: float, head: Row, rows: Sequence[Row], numbers: Sequence[bool]
) -> list[float]:
    """Of every column, that nothing in it breaks but a long header over numbers."""
    paper.dress(size)
    found = []
    for place, title in enumerate(head):
        short = len(title) <= _SHORT or not numbers[place]
        top = paper.wide(title) if short else max(_longest_word(paper, title), 0.6 * paper.wide(title))
        found.append(max([_longest_line(paper, row[place]) for row in rows] + [top]) + _ROOM_MM)
    return found


def _narrowed(paper: Sheet, wish: Sequence[float], head: Row, rows: Sequence[Row]) -> list[float]:
    """Widths with which the words of the widest columns break into lines; no word breaks."""
    columns = [[head[place], *(row[place] for row in rows)] for place in range(len(head))]
    least = [max(_longest_word(paper, text) for text in column) + _ROOM_MM for column in columns]
    found: dict[int, float] = {}

    def left() -> tuple[float, list[int]]:
        return paper.epw - sum(found.values()), [n for n in range(len(wish)) if n not in found]

    room, open_ones = left()
    while whole := [n for n in open_ones if wish[n] <= room / len(open_ones)]:
        found |= {n: wish[n] for n in whole}
        room, open_ones = left()
    asks = [math.sqrt(one) for one in wish]  # so that neither the longest nor the rest get hardly anything
    while stiff := [n for n in open_ones if least[n] > room * asks[n] / sum(asks[m] for m in open_ones)]:
        found |= {n: least[n] for n in stiff}
        room, open_ones = left()
    found |= {n: room * asks[n] / sum(asks[m] for m in open_ones) for n in open_ones}
    return [found[n] for n in range(len(wish))]


def _shallow(wish: Sequence[float], found: Sequence[float]) -> bool:
    """Whether nothing breaks into many lines."""
    return max(w / given for w, given in zip(wish, found, strict=True)) <= _MOST_LINES


def _halves(block: Table) -> tuple[Table, Table]:
    """The same lines, each with the first half of its numbers, and with the rest."""
    middle = (len(block.head) + 1) // 2
    parts = []
    for part in (slice(None, middle), slice(middle, None)):
        lines = tuple(replace(line, numbers=line.numbers[part]) for line in block.lines)
        parts.append(replace(block, head=block.head[part], lines=lines, reasons=()))
    return parts[0], parts[1]


def _write_head(paper: Sheet, plan: _Plan, sides: Sequence[str]) -> None:
    paper.set_text_color(*QUIET)
    _write_row(paper, plan.widths, plan.head, sides, _height(paper, plan.widths, plan.head), at_foot=True)
    paper.set_text_color(*INK)


def _write_row(
    paper: Sheet,
    widths: Sequence[float],
    row: Row,
    sides: Sequence[str],
    high: float,
    *,
    at_foot: bool = False,
) -> None:
    """A row with a line below; ``at_foot``: what has fewer lines stands at the row's foot."""
    left, top = paper.l_margin, paper.get_y()
    for text, width, side in zip(row, widths, sides, strict=True):
        lower = high - _height(paper, [width], [text]) if at_foot else 0.0
        paper.set_xy(left + _PAD_MM, top + _ABOVE_MM + lower)
        at = {"new_x": XPos.LMARGIN, "new_y": YPos.TOP}
        _cell(paper, width, text, align=side, **at)
        left += width
    paper.set_xy(paper.l_margin, top + high)
    paper.line(paper.l_margin, top + high, left, top + high)


def _height(paper: Sheet, widths: Sequence[float], row: Row) -> float:
    """Of a row, mm."""
    counts = [len(_lines(paper, width, text)) for text, width in zip(row, widths, strict=True)]
    return max(1, *counts) * _LEADING * paper.leading + 2 * _ABOVE_MM


def _lines(paper: Sheet, width: float, text: str) -> list[str]:
    if not text:
        return []
    if "\n" not in text and paper.wide(text) < _SURELY * (width - 2 * _PAD_MM):
        return [text]  # asking the library costs as much as writing it
    return list(_cell(paper, width, text, dry_run=True, output=MethodReturnValue.LINES))


def _cell(paper: Sheet, width: float, text: str, **how: Any) -> Any:
    margin, paper.c_margin = paper.c_margin, 0.0  # the cell's own padding is all that there is
    try:
        return paper.multi_cell(width - 2 * _PAD_MM + 0.1, _LEADING * paper.leading, text, **how)
    finally:
        paper.c_margin = margin


def _longest_line(paper: Sheet, text: str) -> float:
    return max((paper.wide(line) for line in text.split("\n")), default=0.0)


def _longest_word(paper: Sheet, text: str) -> float:
    words = (word for line in text.split("\n") for word in line.split(" "))
    return max(map(paper.wide, words), default=0.0)
