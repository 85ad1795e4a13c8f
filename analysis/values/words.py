"""Words for people, through gettext, in both packages."""

from __future__ import annotations

import gettext
from pathlib import Path

_catalogue = gettext.translation("cinderlane", localedir=Path(__file__).parent / "locale", fallback=True)


def tr(text: str) -> str:
    """Return ``text`` in the coach's language; the English text where there is no translation."""
    return _catalogue.gettext(text)


def tr_count(one: str, many: str, count: int) -> str:
    """Return the wording that fits ``count``, in the coach's language."""
    return _catalogue.ngettext(one, many, count)
