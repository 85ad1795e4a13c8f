"""Threads behind the pictures wait for a processor rather than the window does."""

from __future__ import annotations

import contextlib
import os
import sys
import threading
from pathlib import Path

_READER_BY = 2
_DECODERS_BY = 15
"""How much nicer (POSIX.1-2024, nice) they are than the window. Decoding threads keep all processors busy;
the reader's own holds Python's lock for moments, and while it waits for a processor behind them the window
waits for that lock. Work beside the window is nicer still."""

_LOCK_FOR_S = 0.0005
"""So long at most the window's thread waits for Python's own lock while another one works; usual are 5 ms."""

_TASKS = Path("/proc/self/task")
_NAMED = "av:"
"""How the decoding threads of the library are named."""


class GivingWay:
    """Made on the reader's thread. Only on Linux a thread's own priority can be named in this way."""

    def __init__(self) -> None:
        sys.setswitchinterval(_LOCK_FOR_S)
        self._known: set[Path] = set()
        self._window = os.getpriority(os.PRIO_PROCESS, 0) if sys.platform == "linux" else 0
        self._set(threading.get_native_id(), _READER_BY)

    def begun(self) -> None:
        """Decoding threads may have begun since this was called last."""
        if sys.platform != "linux":
            return
        for task in set(_TASKS.iterdir()) - self._known:
            with contextlib.suppress(OSError):  # it has ended
                if (task / "comm").read_text().startswith(_NAMED):
                    self._set(int(task.name), _DECODERS_BY)
                    self._known.add(task)

    def _set(self, thread: int, nicer_by: int) -> None:
        if sys.platform == "linux":
            with contextlib.suppress(OSError):
                os.setpriority(os.PRIO_PROCESS, thread, self._window + nicer_by)
