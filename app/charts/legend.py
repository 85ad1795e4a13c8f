"""The line over a chart that says what its marks mean; an entry is never broken in two."""

from __future__ import annotations

from collections.abc import Iterable

from app.theme.tokens import Theme

_HARD = "&nbsp;"


def entry(words: str, sign: str = "", colour: str = "") -> str:
    """One entry as rich text: the sign in its colour, then the words."""
    shown = f'<span style="color:{colour}">{sign}</span>' if colour else sign
    return (f"{shown}{_HARD}" if sign else "") + words.replace(" ", _HARD)


def legend_line(theme: Theme, entries: Iterable[str]) -> str:
    """All entries, quiet."""
    return f'<span style="color:{theme.muted}">' + f"{_HARD * 3} ".join(entries) + "</span>"
