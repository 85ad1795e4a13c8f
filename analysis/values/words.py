"""Words for people, through gettext, in both packages."""

from __future__ import annotations

import gettext
import unicodedata
from collections.abc import Sequence
from functools import cache
from pathlib import Path

MINUS = "\N{MINUS SIGN}"
"""What stands before a number below nothing, in words for people."""

_CONTROLS = ("Cc", "Zl", "Zp")
_catalogue = gettext.translation("cinderlane", localedir=Path(__file__).parent / "locale", fallback=True)


@cache  # the words of the program are so many and no more, and a reading asks for some thousand of them
def tr(text: str) -> str:
    """Return ``text`` in the coach's language; the English text where there is no translation."""
    return _catalogue.gettext(text)


def tr_count(one: str, many: str, count: int) -> str:
    """Return the wording that fits ``count``, in the coach's language."""
    return _catalogue.ngettext(one, many, count)


def signed(value: float, form: str = "g") -> str:
    """A number as it stands in a sentence: below nothing with a true minus sign, and never minus nothing."""
    text = format(value, form)
    return text.replace("-", MINUS) if float(text) else text.removeprefix("-")


def listed(parts: Sequence[str]) -> str:
    """One word or more in a row: "a", "a and b", "a, b and c"."""
    if len(parts) == 1:
        return parts[0]
    return tr("{some} and {last}").format(some=", ".join(parts[:-1]), last=parts[-1])


def one_line(text: str) -> str:
    """Somebody's name for a place where it must stand in one line: line ends, tabs and other signs that only
    control a device become a space; what joins or turns letters stays.
    """
    return " ".join("".join(" " if unicodedata.category(c) in _CONTROLS else c for c in text).split())


def capital(text: str) -> str:
    """A text as it begins a sentence; the letters after the first stay as they are."""
    return text[:1].upper() + text[1:]


def inside(text: str) -> str:
    """A text as it goes on within a sentence; the letters after the first stay as they are."""
    return text[:1].lower() + text[1:]
