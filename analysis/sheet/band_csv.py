"""Tables of bands as CSV, in and out: one band a row."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Mapping
from enum import StrEnum
from typing import NoReturn, TypeVar

from analysis.values.bands import Band, BandGroup, Better
from analysis.values.conditions import AgeGroup, Stance
from analysis.values.errors import BandError
from analysis.values.measures import known_measures
from analysis.values.posture import Moment
from analysis.values.run import Sex
from analysis.values.typed import typed_number
from analysis.values.words import tr

COLUMNS = ("measure", "moment", "first_step", "last_step", "low", "high", "source", "better")
"""The columns of a band, in the order in which they are written; the last two may be left out.
For whom a band is stand "sex", "sport", "age" and "stance" beside them; each may be left out or be empty."""

_OPTIONAL = ("source", "better")
_MOST = 2000
E = TypeVar("E", bound=StrEnum)


def bands_from_csv(text: str, source: str) -> dict[BandGroup, tuple[Band, ...]]:
    """The bands of a table with a header line, by the group that they are for; commas or semicolons between
    the cells.

    ``source``: who says so where a row does not. An empty ``last_step`` means every later step, an empty end
    of the band that it is open there. Raises BandError, naming the line and what to do.
    """
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    rows = csv.reader(io.StringIO(text), delimiter=";" if first.count(";") > first.count(",") else ",")
    try:
        lines = [(rows.line_num, row) for row in rows if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise BandError(tr("The table can't be read as CSV. Save it as CSV and try again.")) from error
    if not lines:
        raise BandError(tr("The table is empty. Its first line must name the columns."))
    header = [name.strip().lower() for name in lines[0][1]]
    missing = [name for name in COLUMNS if name not in header and name not in _OPTIONAL]
    if missing:
        words = tr("The table has no column {columns}. Its first line must name the columns.")
        raise BandError(words.format(columns=", ".join(missing)))
    if len(lines) - 1 > _MOST:
        raise BandError(tr("The table holds more than {count} bands. Is it another one?").format(count=_MOST))
    found: dict[BandGroup, list[tuple[int, Band]]] = {}
    for number, cells in lines[1:]:
        row = _Row(number, dict(zip(header, cells, strict=False)))
        found.setdefault(row.group(), []).append((number, row.band(source)))
    for bands in found.values():
        _check_apart(bands)
    return {group: tuple(band for _, band in bands) for group, bands in found.items()}


def bands_to_csv(bands: Iterable[Band]) -> str:
    """The bands as ``bands_from_csv`` reads them."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for band in bands:
        writer.writerow(["" if (v := getattr(band, name)) is None else v for name in COLUMNS])
    return out.getvalue()


def _check_apart(bands: list[tuple[int, Band]]) -> None:
    """Raise BandError where two rows of a group, by their lines, say something of the same step."""
    for late, (number, two) in enumerate(bands):
        for early, one in bands[:late]:
            step = max(one.first_step, two.first_step)
            place = two.measure, two.moment, step
            if one.holds(*place) and two.holds(*place):
                words = tr(
                    "Lines {early} and {late} both give a band for {measure} at step {step}. Delete one of "
                    "them."
                )
                raise BandError(words.format(early=early, late=number, measure=two.measure, step=step))


class _Row:
    """One row of the table; every fault names its line and column."""

    def __init__(self, number: int, cells: Mapping[str, str]) -> None:
        self._number, self._cells = number, cells

    def band(self, source: str) -> Band:
        measure, moment = self._text("measure"), self._choice("moment", Moment)
        if moment is None or (measure, moment) not in known_measures():
            known = sorted(f"{m} {at.value}" for m, at in known_measures())
            self._fault("measure", tr("must be one of: {known}").format(known=", ".join(known)))
        first, last = self._step("first_step"), self._step("last_step")
        if first is None:
            self._fault("first_step", tr("is empty; 0 is the start push"))
        if last is not None and last < first:
            self._fault("last_step", tr("comes before first_step"))
        low, high = self._number_in("low"), self._number_in("high")
        if low is None and high is None:
            self._fault("low", tr("and high are both empty: a band needs one of them"))
        if low is not None and high is not None and low > high:
            self._fault("low", tr("lies above high"))
        better = self._choice("better", Better)
        return Band(measure, moment, first, last, low, high, self._text("source") or source, better)

    def group(self) -> BandGroup:
        """For whom the row is."""
        sex = self._choice("sex", Sex)
        return BandGroup(
            None if sex is None else sex.value,
            self._text("sport") or None,
            self._choice("age", AgeGroup),
            self._choice("stance", Stance),
        )

    def _text(self, column: str) -> str:
        return (self._cells.get(column) or "").strip()

    def _choice(self, column: str, kinds: type[E]) -> E | None:
        text = self._text(column)
        if not text:
            return None
        names = [kind.value for kind in kinds]
        if text not in names:
            self._fault(column, tr("must be one of: {known}").format(known=", ".join(names)))
        return kinds(text)

    def _step(self, column: str) -> int | None:
        text = self._text(column)
        if not text:
            return None
        if not text.isascii() or not text.isdigit() or int(text) > 999:
            self._fault(column, tr("must be the number of a step, not {found}").format(found=text))
        return int(text)

    def _number_in(self, column: str) -> float | None:
        text = self._text(column)
        if not text:
            return None
        number = typed_number(text)
        if math.isnan(number):
            self._fault(column, tr("must be a number, not {found}").format(found=text))
        return number

    def _fault(self, column: str, sentence: str) -> NoReturn:
        words = tr("Line {line}, {column}: {sentence}. Mend the table there and read it again.")
        raise BandError(words.format(line=self._number, column=column, sentence=sentence))
