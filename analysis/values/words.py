"""Words for people, through gettext, in both packages."""

from __future__ import annotations

import gettext
from collections.abc import Sequence
from pathlib import Path

MINUS = "\N{MINUS SIGN}"
"""What stands before a number below nothing, in words for people."""

_catalogue = gettext.translation("cinderlane", localedir=Path(__file__).parent / "locale", fallback=True)


def tr(text: str) -> str:
    """Return ``text`` in the coach's language; the English text where there is no translation."""
    return _catalogue.gettext(text)


def tr_count(one: str, many: str, count: int) -> str:
    """Return the wording that fits ``count``, in the coach's language."""
    return _catalogue.ngettext(one, many, count)


def listed(parts: Sequence[str]) -> str:
    """One word or more in a row: "a", "a and b", "a, b and c"."""
    if len(parts) == 1:
        return parts[0]
    return tr("{some} and {last}").format(some=", ".join(parts[:-1]), last=parts[-1])


def capital(text: str) -> str:
    """A text as it begins a sentence; the letters after the first stay as they are."""
    return text[:1].upper() + text[1:]


def inside(text: str) -> str:
    """A text as it goes on within a sentence; the letters after the first stay as they are."""
    return text[:1].lower() + text[1:]
