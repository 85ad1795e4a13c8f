"""Numbers as plain JSON, and rows as CSV."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Any

from analysis.values.estimate import NoValue, Result
from analysis.values.measures import column_unit

_MARKED = ("=", "+", "-", "@", "\t", "\r", "\n", "'")
"""How a cell begins that a spreadsheet could take for a formula, or that could be taken for a marked one."""


def number_to_json(number: Result) -> dict[str, Any]:
    """``{"value", "u", "low", "high"}``, or ``{"value": null, "reason"}``."""
    if isinstance(number, NoValue):
        return {"value": None, "reason": number.reason}
    return {"value": number.value, "u": number.u, "low": number.low, "high": number.high}


def number_parts(number: Result) -> tuple[float | None, float | None, float | None, float | None]:
    """Value, standard uncertainty and the ends of the 95 % interval; four times None where there is none."""
    if isinstance(number, NoValue):
        return None, None, None, None
    return number.value, number.u, number.low, number.high


def number_columns(name: str) -> tuple[str, str, str, str]:
    """The columns of ``number_parts``: the value under its own name."""
    return name, f"{name}_u", f"{name}_low", f"{name}_high"


def under_unit(measure: str, units: Sequence[str], cells: Sequence[object]) -> list[object]:
    """Cells in the columns of the measure's unit, those of the other ``units`` empty."""
    mine = units.index(column_unit(measure))
    empty = [None] * len(cells)
    return [cell for place in range(len(units)) for cell in (cells if place == mine else empty)]


_NUMBER = r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?"
_NUMBERS = re.compile(f"{_NUMBER}(?:; {_NUMBER})+")


def as_csv(header: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """CSV after RFC 4180: commas, CR LF, a header line, a point in decimals, no byte order mark; None is an
    empty cell.

    A cell of words that begins with = + - @, a tab, a line end or an apostrophe gets an apostrophe before
    it, so that no spreadsheet takes it for a formula; ``plain_text`` takes it off. Numbers stay plain, and so
    do several in one cell (own decision).
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(header)
    for row in rows:
        writer.writerow([safe_text(cell) if isinstance(cell, str) else cell for cell in row])
    return out.getvalue()


def safe_text(text: str) -> str:
    """Words that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(_MARKED) and not _NUMBERS.fullmatch(text) else text


def listed(values: Sequence[float]) -> str | float:
    """Numbers in one cell, parted so that no spreadsheet takes them for a difference; one stays a number."""
    return values[0] if len(values) == 1 else "; ".join(f"{value!r}" for value in values)


def plain_text(cell: str) -> str:
    """The words that ``safe_text`` made a cell of: without its first apostrophe."""
    return cell.removeprefix("'")
