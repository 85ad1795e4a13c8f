"""Tables of bands as CSV, in and out: one band a row."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from enum import StrEnum
from typing import NoReturn, TypeVar

from analysis.reading.cells import as_csv, plain_text
from analysis.values.bands import Band, BandGroup, BandOrigin, BandTable, Better
from analysis.values.conditions import AgeGroup, Stance
from analysis.values.errors import BandError
from analysis.values.measures import known_measures, read_at
from analysis.values.posture import Moment
from analysis.values.run import Sex
from analysis.values.starting_bands import SOURCE
from analysis.values.typed import typed_number
from analysis.values.words import tr

NEEDED = ("measure", "moment", "first_step", "last_step", "low", "high")
_OF_BAND = (*NEEDED, "source", "better")
COLUMNS = (*_OF_BAND, "sex", "sport", "age", "stance", "origin")
"""The columns of a table, in the order in which they are written; those that are not needed may be left out.
"sex", "sport", "age" and "stance" say for whom a band is, each empty for everyone; "origin" says whether it
is the coach's own (so where it is empty too), of an own pattern or a starting band."""

_MOST = 2000
_WHOLE = frozenset("-0123456789")
E = TypeVar("E", bound=StrEnum)


def bands_from_csv(
    text: str, source: str, there: Iterable[BandTable] = ()
) -> dict[BandGroup, tuple[Band, ...]]:
    """The coach's own bands of a table with a header line, by the group that they are for; commas or
    semicolons between the cells.

    ``source``: who says so where a row does not. An empty ``last_step`` means every later step, an empty end
    of the band that it is open there. ``there``: the tables that there are: a row of a starting band or of
    an own pattern among them is left out, for it counts as it is; a starting band that was changed is the
    coach's own. Raises BandError, naming the line and what to do.
    """
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    between = ";" if first.count(";") > first.count(",") else ","
    rows = csv.reader(io.StringIO(text), delimiter=between)
    try:
        lines = [(rows.line_num, row) for row in rows if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise BandError(tr("The table can't be read as CSV. Save it as CSV and try again.")) from error
    if not lines:
        raise BandError(tr("The table is empty. Its first line must name the columns."))
    header = _header(*lines[0])
    if len(lines) == 1:
        raise BandError(tr("The table names no band: below its first line one must stand on each."))
    if len(lines) - 1 > _MOST:
        raise BandError(tr("The table holds more than {count} bands. Is it another one?").format(count=_MOST))
    found: dict[BandGroup, list[tuple[int, Band]]] = {}
    tables = tuple(there)
    for number, cells in lines[1:]:
        row = _Row(number, header, cells, commas=between == ",")
        band, group = row.band(source), row.group()
        if (own := row.own(band, group, tables, source)) is not None:
            found.setdefault(group, []).append((number, own))
    for bands in found.values():
        _check_apart(bands)
    return {group: tuple(band for _, band in bands) for group, bands in found.items()}


def bands_to_csv(tables: Iterable[BandTable]) -> str:
    """The bands of tables as ``bands_from_csv`` reads them."""
    rows = []
    for table in tables:
        whose = (table.group.sex, table.group.sport, table.group.age, table.group.stance, table.origin)
        rows += [[*(getattr(band, name) for name in _OF_BAND), *whose] for band in table.bands]
    return as_csv(COLUMNS, rows)


def _header(number: int, cells: Sequence[str]) -> list[str]:
    """The columns of the first line. Raises BandError where one is missing, unknown or there twice."""
    header = [name.strip().lower() for name in cells]
    if missing := [name for name in NEEDED if name not in header]:
        words = tr("The table has no column {columns}. Its first line must name the columns.")
        raise BandError(words.format(columns=", ".join(missing)))
    for place, name in enumerate(header, start=1):
        shown = name or tr("column {place}").format(place=place)
        if name not in COLUMNS:
            _fault(
                number,
                shown,
                tr("no column is called so; there may be: {all}").format(all=", ".join(COLUMNS)),
            )
        if header.count(name) > 1:
            _fault(number, shown, tr("two columns are called so"))
    return header


def _fault(number: int, column: str, sentence: str) -> NoReturn:
    words = tr("Line {line}, {column}: {sentence}. Mend the table there and read it again.")
    raise BandError(words.format(line=number, column=column, sentence=sentence))


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


def _is_part(band: Band, whole: Band) -> bool:
    """Whether a band is another one, or that one for fewer of its steps."""
    inside = replace(whole, first_step=band.first_step, last_step=band.last_step, source=whole.source.strip())
    if band != inside or band.first_step < whole.first_step:
        return False
    return whole.last_step is None or (band.last_step is not None and band.last_step <= whole.last_step)


class _Row:
    """One row of the table; every fault names its line and column."""

    def __init__(self, number: int, header: Sequence[str], cells: Sequence[str], *, commas: bool) -> None:
        self._number, self._cells = number, dict(zip(header, cells, strict=False))
        self._commas = commas  # stand between the cells
        have, want = len(cells), len(header)
        if have < want:
            words = tr("is missing: the line has {have} cells, the first line names {want} columns")
            self._fault(header[have], words.format(have=have, want=want))
        if have > want:
            words = tr(
                "more cells follow: the line has {have}, the first line names {want} columns. Where decimals "
                "have a comma, semicolons must part the cells"
            )
            self._fault(header[-1], words.format(have=have, want=want))

    def band(self, source: str) -> Band:
        measure, moment = self._text("measure"), self._choice("moment", Moment)
        if moment is None or (measure, moment) not in known_measures():
            known = sorted(f"{m} {at.value}" for m, at in known_measures())
            self._fault("measure", tr("must be one of: {known}").format(known=", ".join(known)))
        first, last = self._step("first_step"), self._step("last_step")
        if first is None:
            self._fault("first_step", tr("is empty; 0 is the start push"))
        self._check_read(measure, moment, first)
        if last is not None and last < first:
            self._fault("last_step", tr("comes before first_step"))
        low, high = self._number_in("low"), self._number_in("high")
        if low is None and high is None:
            self._fault("low", tr("and high are both empty: a band needs one of them"))
        if low is not None and high is not None and low > high:
            self._fault("low", tr("lies above high"))
        better = self._choice("better", Better)
        return Band(measure, moment, first, last, low, high, self._words("source") or source, better)

    def group(self) -> BandGroup:
        """For whom the row is."""
        sex = self._choice("sex", Sex)
        return BandGroup(
            None if sex is None else sex.value,
            self._words("sport") or None,
            self._choice("age", AgeGroup),
            self._choice("stance", Stance),
        )

    def own(self, band: Band, group: BandGroup, there: Sequence[BandTable], source: str) -> Band | None:
        """The row's band as the coach's own; None where it counts as it is, from elsewhere."""
        origin = self._choice("origin", BandOrigin) or BandOrigin.COACH
        if origin is BandOrigin.COACH:
            return band
        same = (table for table in there if (table.origin, table.group) == (origin, group))
        if any(_is_part(band, one) for table in same for one in table.bands):
            return None
        if origin is BandOrigin.OWN_PATTERN:
            words = tr(
                "there is no such pattern: it comes from runs named as good. Write coach for your own band"
            )
            self._fault("origin", words)
        return replace(band, source=source) if band.source == tr(SOURCE) else band

    def _check_read(self, measure: str, moment: Moment, first: int) -> None:
        push, steps = read_at(measure, moment)
        if first == 0 and not push:
            self._fault("first_step", tr("0 is the start push, which has no such measure; steps begin at 1"))
        if first > 0 and not steps:
            self._fault("first_step", tr("must be 0: the measure is one of the start push alone"))

    def _text(self, column: str) -> str:
        return plain_text((self._cells.get(column) or "").strip())

    def _words(self, column: str) -> str:
        """Words of the coach's own. Bare digits there, with a band of whole numbers, are what a decimal comma
        makes of a row that is short elsewhere: one cell became two, and the line is as long as it should be.
        """
        text = self._text(column)
        ends = self._text("low") + self._text("high")
        if self._commas and text.isascii() and text.isdigit() and set(ends) <= _WHOLE:
            words = tr(
                "is {found}, and the band is of whole numbers: was that a decimal comma? Where decimals have "
                "a comma, semicolons must part the cells"
            )
            self._fault(column, words.format(found=text))
        return text

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
        _fault(self._number, column, sentence)
