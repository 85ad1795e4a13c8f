"""What stands on a page, once for every way of writing it: blocks of words, numbers and drawings in a row."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from analysis.report.page_charts import Drawing
from analysis.report.told import Tile

_SENTENCE, _LONG = 14, 60  # letters: what is longer may break into lines, into many
_FEW = 4  # facts that stand below each other, however short
_NAME = 24  # letters of a name that stand in one line
_CROWDED, _PACKED = 98, 140  # letters of a line: with more of them each ± stands below its number
_TERSE = 3  # cells that are read in one line without their heads
_NUMERIC = re.compile("[0-9.–]*")  # a count, or nothing


class Look(StrEnum):
    """How a paragraph looks."""

    PLAIN = "plain"
    QUIET = "quiet"
    FIRST = "first"  # the one sentence that is to be read first
    VERDICT = "verdict"
    DEPARTS = "departs"  # a verdict that asks for work


@dataclass(frozen=True)
class Number:
    """A number as it is shown. ``key``: which one; ``value``: in the reading's unit; None where there is
    none, or where it is words.
    """

    key: str
    text: str
    value: float | None


@dataclass(frozen=True)
class Heading:
    """``level``: 2 or 3. ``own``: what somebody wrote, after the text."""

    text: str
    level: int = 2
    own: str = ""
    kind: ClassVar[str] = "heading"

    @property
    def words(self) -> str:
        """All of it."""
        return f"{self.text} {self.own}".strip()

    @property
    def anchor(self) -> str:
        """What a way to it is named by; the program's words are not said twice on a page."""
        return "-".join("".join(c if c.isalnum() else " " for c in self.text.lower()).split())


@dataclass(frozen=True)
class Words:
    """A paragraph. ``lead``: the program's words before what somebody wrote."""

    text: str
    look: Look = Look.PLAIN
    lead: str = ""
    kind: ClassVar[str] = "words"


@dataclass(frozen=True)
class Bullets:
    """Sentences in a row."""

    items: tuple[str, ...]
    quiet: bool = False
    kind: ClassVar[str] = "bullets"


@dataclass(frozen=True)
class Fact:
    """What it is, how it was, and what is to be added."""

    name: str
    number: Number
    note: str = ""


@dataclass(frozen=True)
class Facts:
    """Facts below each other."""

    rows: tuple[Fact, ...]
    kind: ClassVar[str] = "facts"

    @property
    def paired(self) -> bool:
        """Whether two stand beside each other where there is room: short ones, of which there are many."""
        long = any(row.note or len(row.number.text) > _SENTENCE for row in self.rows)
        return len(self.rows) > _FEW and not long


@dataclass(frozen=True)
class Line:
    """A row: what it is called, its definition in a sentence, its numbers."""

    name: str
    help: str
    numbers: tuple[Number, ...]


@dataclass(frozen=True)
class Table:
    """A table. ``corner``: over the names; ``head``: over the numbers; ``reasons``: why there are gaps."""

    title: str
    head: tuple[str, ...]
    lines: tuple[Line, ...]
    reasons: tuple[str, ...] = ()
    corner: str = ""
    kind: ClassVar[str] = "table"

    @property
    def looks(self) -> tuple[str, ...]:
        """Of each column "number", or "words", which stand at the left, with "sentence" where they may break
        into lines, and "long" too where they are many.
        """
        return tuple(self._look(column) for column in range(len(self.head)))

    @property
    def long_names(self) -> bool:
        """Whether a line's name may break into lines."""
        return any(len(line.name) > _SENTENCE for line in self.lines)

    @property
    def crowded(self) -> bool:
        """Whether its lines are longer than a sheet or a telephone has room for."""
        return self._letters > _CROWDED

    @property
    def packed(self) -> bool:
        """Whether its lines are longer than a desk's screen has room for."""
        return self._letters > _PACKED

    @property
    def terse(self) -> bool:
        """Whether it is a list of so few cells that they are read without their heads."""
        return self.is_list and len(self.head) <= _TERSE

    @property
    def _letters(self) -> int:
        """Of a line as long as its longest cells."""
        letters = max((min(_NAME, len(line.name)) for line in self.lines), default=0)
        for column, look in enumerate(self.looks):
            cells = (line.numbers[column].text for line in self.lines if column < len(line.numbers))
            longest = max(map(len, cells), default=0)
            letters += min(longest, _SENTENCE) if "sentence" in look else longest
        return letters

    @property
    def is_list(self) -> bool:
        """Whether each line is read for itself, since words stand beside its numbers."""
        return any(look != "number" for look in self.looks)

    def _look(self, column: int) -> str:
        cells = [line.numbers[column] for line in self.lines if column < len(line.numbers)]
        if any(one.value is not None for one in cells) or all(_NUMERIC.fullmatch(one.text) for one in cells):
            return "number"
        longest = max(len(one.text) for one in cells)
        return (
            "words sentence long" if longest > _LONG else "words sentence" if longest > _SENTENCE else "words"
        )


@dataclass(frozen=True)
class Contents:
    """Ways to the headings of a page."""

    headings: tuple[Heading, ...]
    kind: ClassVar[str] = "contents"


@dataclass(frozen=True)
class Charts:
    """Drawings side by side where there is room."""

    drawings: tuple[Drawing, ...]
    kind: ClassVar[str] = "charts"


@dataclass(frozen=True)
class Pictures:
    """Frames of the posture strip."""

    tiles: tuple[Tile, ...]
    kind: ClassVar[str] = "pictures"


Block = Heading | Words | Bullets | Facts | Table | Contents | Charts | Pictures


@dataclass(frozen=True)
class Page:
    """A page. ``heading``: parts of its title, each somebody's or the program's; ``facts`` stand under it.

    ``compact``: it is meant for one sheet of paper.
    """

    heading: tuple[str, ...]
    facts: Facts
    blocks: tuple[Block, ...]
    compact: bool = False

    @property
    def title(self) -> str:
        """In one line."""
        return ": ".join(self.heading)

    @property
    def numbers(self) -> Iterator[Number]:
        """Every number that stands on the page with a key, in order."""
        for block in (self.facts, *self.blocks):
            match block:
                case Facts(rows):
                    found = [row.number for row in rows]
                case Table(lines=lines):
                    found = [number for line in lines for number in line.numbers]
                case _:
                    found = []
            yield from (number for number in found if number.value is not None)


def words(text: str) -> Number:
    """Words in the place of a number."""
    return Number("", text, None)


def plain_facts(rows: Sequence[tuple[str, str]]) -> Facts:
    """Facts that are words."""
    return Facts(tuple(Fact(name, words(text)) for name, text in rows))
