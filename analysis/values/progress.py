"""How far long work is, where it has several parts."""

from __future__ import annotations

from collections.abc import Callable

Say = Callable[[float], None]
"""Told the share that is done, 0 to 1."""


def share_of(say: Say | None, begin: float, end: float) -> Say | None:
    """Tells a part's share as one of the whole, of which it is what lies between ``begin`` and ``end``."""
    if say is None:
        return None

    def told(share: float) -> None:
        say(begin + share * (end - begin))

    return told
