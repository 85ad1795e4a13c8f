"""The one application object."""

from __future__ import annotations

import sys

from PySide6.QtWidgets import QApplication

from analysis.film.freed_memory import hold_freed_memory


def make_app() -> QApplication:
    """The application, named for the desktop; made at the first call. How the process holds memory is said
    before any thread works.
    """
    hold_freed_memory()
    existing = QApplication.instance()
    app = existing if isinstance(existing, QApplication) else QApplication(sys.argv[:1])
    app.setApplicationName("cinderlane")
    app.setApplicationDisplayName("Cinderlane")
    app.setDesktopFileName("cinderlane")
    return app
