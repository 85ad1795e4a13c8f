"""Signs as a reader counts them: a letter with what stands upon it, an emoji that is joined from several."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import uharfbuzz as hb

from analysis.report.bundled_fonts import EMOJI, font_file

_KEYCAP = "\N{COMBINING ENCLOSING KEYCAP}"
_FIRST_OF_FLAGS, _LAST_OF_FLAGS = "\U0001f1e6", "\U0001f1ff"
_PLAIN_FLAG = "\N{WAVING WHITE FLAG}"


class Sign(NamedTuple):
    """One sign, a grapheme cluster (Unicode Standard Annex 29). ``joined``: an emoji of several code points
    that the font of emoji draws as one.
    """

    text: str
    joined: bool = False

    @property
    def base(self) -> str:
        """The one emoji that stands for it where it can't be drawn joined; any flag for a flag."""
        first = self.text[0]
        return _PLAIN_FLAG if _FIRST_OF_FLAGS <= first <= _LAST_OF_FLAGS else first


@lru_cache(maxsize=1024)
def signs(text: str) -> tuple[Sign, ...]:
    """The signs of a text in turn. For a joined emoji that the font does not have, its base stands."""
    if text.isascii():
        return tuple(map(Sign, text))
    found: dict[int, list[tuple[int, int]]] = {}
    for at, glyph, advance in _shaped(text):
        found.setdefault(at, []).append((glyph, advance))
    starts = sorted(found)
    return tuple(_sign(text[at:end], found[at]) for at, end in pairwise([*starts, len(text)]))


def _sign(text: str, glyphs: list[tuple[int, int]]) -> Sign:
    """What a cluster is, by how the font of emoji sets it."""
    if len(text) == 1 or not glyphs[0][0] or (text[0].isascii() and _KEYCAP not in text):
        return Sign(text)
    sign = Sign(text, joined=True)
    alone = all(glyph for glyph, _ in glyphs) and sum(advance > 0 for _, advance in glyphs) == 1
    return sign if alone else Sign(sign.base)


def _shaped(text: str) -> list[tuple[int, int, int]]:
    """Of each glyph of the font of emoji: where its sign begins, its number, 0 for none, its width."""
    buffer = hb.Buffer()
    buffer.cluster_level = hb.BufferClusterLevel.MONOTONE_GRAPHEMES
    buffer.add_str(text.encode("utf-8", "replace").decode("utf-8"))  # halves of characters count as one
    buffer.direction, buffer.script = "ltr", "Zyyy"
    hb.shape(_font(), buffer)
    placed = zip(buffer.glyph_infos, buffer.glyph_positions, strict=True)
    return [(info.cluster, info.codepoint, position.x_advance) for info, position in placed]


@lru_cache
def _font() -> hb.Font:
    return hb.Font(hb.Face(hb.Blob.from_file_path(font_file(EMOJI))))
