"""Where things stand in a picture of an annotated film: title, films one above the other, rails, captions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analysis.report.lettering import fitted, font_of, wrapped

LONGEST_PX = 1920
"""The longer side of a film that any phone plays; no film is enlarged."""
_TEXT_SHARE, _LEAST_TEXT_PX = 1 / 26, 14
_MARGIN = 0.6
"""Round words, in lines of them."""
_TITLE_LINES = 2
"""A longer title is shortened: it must leave the film its room (own)."""


@dataclass(frozen=True)
class Place:
    """Left, top, width and height of a part, px."""

    left: int
    top: int
    width: int
    height: int


@dataclass(frozen=True)
class PaneLayout:
    """One film: where its title, its picture and its rail stand."""

    picture: Place
    rail: Place | None
    title: Place | None


@dataclass(frozen=True)
class Layout:
    """The whole picture. ``text_px``: height of title and captions."""

    width: int
    height: int
    panes: tuple[PaneLayout, ...]
    caption: Place | None
    text_px: int


@dataclass(frozen=True)
class PaneWish:
    """What a film brings: the size of its picture (``picture_size``) and the width of its rail, px; whether
    that stands left of it; the title that stands over it, empty for none.
    """

    size: tuple[int, int]
    rail_width: int
    rail_left: bool
    title: str


def picture_size(size: tuple[int, int], height: int | None) -> tuple[int, int]:
    """The size of a film's picture for a wished height, px; never enlarged, never longer than phones play."""
    width, whole = size
    share = min(1.0, LONGEST_PX / max(size), 1.0 if height is None else height / whole)
    return max(2, round(width * share)), max(2, round(whole * share))


def laid_out(wishes: Sequence[PaneWish], captions: Sequence[str]) -> Layout:
    """Films one above the other, as wide as the widest; below them room for the longest caption."""
    text_px = max(_LEAST_TEXT_PX, round(wishes[0].size[1] * _TEXT_SHARE))
    line = line_height(text_px)
    width = max(wish.size[0] + wish.rail_width for wish in wishes)
    panes, top = [], 0
    for wish in wishes:
        across, down = wish.size
        rows = len(title_lines(wish.title, text_px, width))
        title = Place(0, top, width, round((rows + 0.4) * line)) if rows else None
        top += title.height if title is not None else 0
        left = (width - across - wish.rail_width) // 2
        rail_at = left if wish.rail_left else left + across
        rail = Place(rail_at, top, wish.rail_width, down) if wish.rail_width else None
        picture = Place(left + (wish.rail_width if wish.rail_left else 0), top, across, down)
        panes.append(PaneLayout(picture, rail, title))
        top += down
    lines = max((len(caption_lines(words, text_px, width)) for words in captions if words), default=0)
    band = Place(0, top, width, round((lines + 2 * _MARGIN) * line)) if lines else None
    height = top + (band.height if band is not None else 0)
    return Layout(width, height, tuple(panes), band, text_px)


def line_height(text_px: int) -> int:
    """Height of a line of words, px."""
    return round(1.25 * font_of(text_px).getbbox("Ag")[3])


def caption_lines(words: str, text_px: int, width: int) -> list[str]:
    """A caption in the lines in which it is written."""
    return wrapped(words, text_px, _room(text_px, width))


def title_lines(words: str, text_px: int, width: int) -> list[str]:
    """A title in the lines in which it is written."""
    return fitted(words, text_px, _room(text_px, width), _TITLE_LINES)


def _room(text_px: int, width: int) -> float:
    return width - 2 * _MARGIN * line_height(text_px)
