"""Waiting that fails for what does not come, never for a machine that is busy with something else."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pytestqt.qtbot import QtBot

PATIENCE_MS = 180_000
"""How long a test waits for what takes a moment, or for a whole film to be looked through."""


class PatientBot(QtBot):
    """pytest-qt's, which gives up after five seconds unless it is told otherwise, with more patience."""

    def waitUntil(self, callback: Callable[[], bool | None], *, timeout: int = PATIENCE_MS) -> None:
        super().waitUntil(callback, timeout=timeout)

    def waitSignal(self, signal: Any, *, timeout: int = PATIENCE_MS, **how: Any) -> Any:
        return super().waitSignal(signal, timeout=timeout, **how)

    def waitExposed(self, widget: Any, *, timeout: int = PATIENCE_MS) -> Any:
        return super().waitExposed(widget, timeout=timeout)
