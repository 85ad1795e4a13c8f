"""The one application object."""

from __future__ import annotations

import sys

from PySide6.QtWidgets import QApplication


def make_app() -> QApplication:
    """The application, named for the desktop; made at the first call."""
    existing = QApplication.instance()
    app = existing if isinstance(existing, QApplication) else QApplication(sys.argv[:1])
    app.setApplicationName("cinderlane")
    app.setApplicationDisplayName("Cinderlane")
    app.setDesktopFileName("cinderlane")
    return app
