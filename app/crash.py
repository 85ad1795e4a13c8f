"""The log, and what happens when something fails that nobody foresaw."""

from __future__ import annotations

import contextlib
import faulthandler
import logging
import logging.handlers
import sys
import threading
import traceback
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import TextIO

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

from analysis.values.errors import CinderlaneError
from analysis.values.words import tr

log = logging.getLogger(__name__)

_LOG_BYTES = 1_000_000
_LOG_FILES = 3
_SCREEN_CANT = "This plugin does not support"


_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def _qt_to_log(kind: QtMsgType, _context: QMessageLogContext, message: str) -> None:
    """Qt's own complaints go to the log; a coach's terminal is no place for them."""
    level = _LEVELS.get(kind, logging.WARNING)
    # a screen without a window manager says so at every window
    logging.getLogger("qt").log(logging.INFO if message.startswith(_SCREEN_CANT) else level, message)


def _log_file(folder: Path) -> logging.Handler:
    try:
        handler = logging.handlers.RotatingFileHandler(
            folder / "cinderlane.log", maxBytes=_LOG_BYTES, backupCount=_LOG_FILES - 1, encoding="utf-8"
        )
    except OSError:
        return logging.NullHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s %(message)s"))
    return handler


class Watch:
    """Keeps the log and the crash reports of one start of the program.

    ``tell``: called with a sentence for the coach when an error was caught, on whichever thread that was.
    A folder that can't be written costs the log and the reports, nothing else.
    """

    def __init__(self, folder: Path, tell: Callable[[str], None] | None = None) -> None:
        self.tell = tell
        self._folder = folder
        self._handler = _log_file(folder)
        self._before = sys.excepthook
        self._before_in_threads = threading.excepthook
        self._before_of_qt: object = None
        self._level_before = logging.getLogger().level
        self._faults: TextIO | None = None
        self._faults_before = False
        self._known: set[str] = set()

    def begin(self) -> None:
        """Start logging; failures from here on are kept."""
        root = logging.getLogger()
        root.addHandler(self._handler)
        self._level_before = root.level
        root.setLevel(logging.INFO)
        self._faults_before = faulthandler.is_enabled()
        with contextlib.suppress(OSError):
            self._faults = (self._folder / "faults.txt").open("a", encoding="utf-8")
            faulthandler.enable(self._faults)
        self._before, sys.excepthook = sys.excepthook, self._caught
        self._before_in_threads, threading.excepthook = threading.excepthook, self._caught_in_thread
        self._before_of_qt = qInstallMessageHandler(_qt_to_log)

    def end(self) -> None:
        """Put everything back as it was."""
        sys.excepthook = self._before
        threading.excepthook = self._before_in_threads
        qInstallMessageHandler(self._before_of_qt)
        if self._faults is not None:
            faulthandler.disable()
            self._faults.close()
            self._faults = None
            if self._faults_before and sys.__stderr__ is not None:
                faulthandler.enable(sys.__stderr__)
        root = logging.getLogger()
        root.removeHandler(self._handler)
        root.setLevel(self._level_before)
        self._handler.close()

    def _caught(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            self._before(kind, error, trace)
            return
        if isinstance(error, CinderlaneError):
            # its sentence may name a file, and a file is often named after the athlete
            log.info("%s\n%s", kind.__name__, "".join(traceback.format_tb(trace)))
            self._say(str(error))
            return
        text = "".join(traceback.format_exception(kind, error, trace))
        if text in self._known:
            return  # what fails at every repaint is reported once
        self._known.add(text)
        log.error("Unforeseen error\n%s", text)
        self._say(self._reported(text))

    def _caught_in_thread(self, caught: threading.ExceptHookArgs) -> None:
        if caught.exc_value is not None and not issubclass(caught.exc_type, SystemExit):
            self._caught(caught.exc_type, caught.exc_value, caught.exc_traceback)

    def _reported(self, text: str) -> str:
        """Write a crash report; returns the sentence that says so."""
        report = self._folder / f"crash-{datetime.now(UTC):%Y%m%d-%H%M%S-%f}.txt"
        try:
            report.write_text(text, encoding="utf-8")
        except OSError:
            return tr("Something went wrong inside Cinderlane. What you marked is saved.")
        return tr(
            "Something went wrong inside Cinderlane. What you marked is saved. A report is in {path}."
        ).format(path=report)

    def _say(self, sentence: str) -> None:
        if self.tell is not None:
            self.tell(sentence)
        elif sys.stderr is not None:
            print(sentence, file=sys.stderr)
