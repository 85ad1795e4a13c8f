"""In which order words of several scripts stand in a line (Unicode Standard Annex 9)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby
from typing import TypeVar
from unicodedata import bidirectional

from fpdf.bidi import BidiParagraph
from fpdf.enums import TextDirection

from analysis.report.signs import signs

T = TypeVar("T")
_TURNING = frozenset(["R", "AL", "AN", "RLE", "LRE", "RLO", "LRO", "PDF", "RLI", "LRI", "FSI", "PDI"])
"""Classes of signs without which a line that runs to the right has one level."""


def stretches(text: str, base: TextDirection | None = None) -> list[tuple[str, int]]:
    """Stretches of one level in the order in which they are written: even levels run to the right, odd ones
    to the left. A sign goes where its first code point goes, so that nothing parts it. ``base``: where the
    whole runs; None: as its first letter does.
    """
    if base is TextDirection.LTR and not any(bidirectional(letter) in _TURNING for letter in text):
        return [(text, 0)] if text else []
    told = signs(text)
    paragraph = BidiParagraph("".join(sign.text[0] for sign in told), base, preserve_bn_chars=True)
    letters = paragraph.get_characters_with_embedding_level()
    levels = [letter.embedding_level for letter in letters]
    pairs = zip(told, levels, strict=True)
    return [
        ("".join(sign.text for sign, _ in part), level)
        for level, part in groupby(pairs, key=lambda pair: pair[1])
    ]


def in_sight(parts: Sequence[T], level: Callable[[T], int]) -> list[T]:
    """The parts of a line from left to right (rule L2)."""
    found = list(parts)
    highest = max(map(level, found), default=0)
    for least in range(highest, 0, -1):
        turned: list[T] = []
        together: list[T] = []
        for part in found:
            if level(part) >= least:
                together.insert(0, part)
            else:
                turned += [*together, part]
                together = []
        turned += together
        found = turned
    return found
