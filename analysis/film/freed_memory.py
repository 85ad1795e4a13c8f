"""Memory of pictures that were let go is used again for the next ones."""

from __future__ import annotations

import ctypes
from contextlib import suppress
from functools import cache

_M_TRIM_THRESHOLD, _M_MMAP_THRESHOLD, _M_ARENA_MAX = -1, -3, -8
"""Numbers of the settings in ``malloc.h`` of the GNU C library; see ``man 3 mallopt``."""

_OWN_PAGES_FROM = 64 << 20
"""Smaller pieces come from the common store; a 4K picture takes 33 MB."""

_HELD = 128 << 20
"""So much of what was let go is held at the end of the store, in bytes, before it goes back to the system."""


@cache
def hold_freed_memory() -> bool:
    """Hold up to 128 MB that the process let go, for its next pictures; whether the system can do that.

    Without it each picture of 8 MB may come from the system anew, page by page: converting one then takes up
    to 29 ms rather than 0.8 ms where new pages are dear, as on virtual machines. Holds for the whole process,
    for the GNU C library; elsewhere nothing is done. Best said before threads work: stores of their own that
    they have by then stay.
    """
    try:
        mallopt = ctypes.CDLL(None).mallopt
    except (AttributeError, OSError, TypeError):  # another C library, or none that can be named so
        return False
    taken = [
        mallopt(_M_MMAP_THRESHOLD, _OWN_PAGES_FROM),
        mallopt(_M_TRIM_THRESHOLD, _HELD),
        mallopt(_M_ARENA_MAX, 1),  # one store: what each thread's own held could not be given back
    ]
    return all(taken)


def give_freed_memory_back() -> None:
    """Give the system what the process let go, wherever it lies, as when a film is closed (``man 3
    malloc_trim``). Holds for the GNU C library; elsewhere nothing is done.
    """
    with suppress(AttributeError, OSError, TypeError):
        ctypes.CDLL(None).malloc_trim(0)
