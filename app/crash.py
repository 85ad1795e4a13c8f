"""The log, and what happens when something fails that nobody foresaw."""

from __future__ import annotations

import faulthandler
import logging
import logging.handlers
import sys
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


_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def _qt_to_log(kind: QtMsgType, _context: QMessageLogContext, message: str) -> None:
    """Qt's own complaints go to the log; a coach's terminal is no place for them."""
    logging.getLogger("qt").log(_LEVELS.get(kind, logging.WARNING), message)


class Watch:
    """Keeps the log and the crash reports of one start of the program.

    ``tell``: called with a sentence for the coach when an unforeseen error was caught.
    """

    def __init__(self, folder: Path, tell: Callable[[str], None] | None = None) -> None:
        self.tell = tell
        self._folder = folder
        self._handler = logging.handlers.RotatingFileHandler(
            folder / "cinderlane.log", maxBytes=_LOG_BYTES, backupCount=_LOG_FILES - 1, encoding="utf-8"
        )
        self._handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s %(message)s"))
        self._before = sys.excepthook
        self._faults: TextIO | None = None

    def begin(self) -> None:
        """Start logging; failures from here on are kept."""
        root = logging.getLogger()
        root.addHandler(self._handler)
        root.setLevel(logging.INFO)
        self._faults = (self._folder / "faults.txt").open("a", encoding="utf-8")
        faulthandler.enable(self._faults)
        sys.excepthook = self._caught
        qInstallMessageHandler(_qt_to_log)

    def end(self) -> None:
        """Put everything back as it was."""
        sys.excepthook = self._before
        qInstallMessageHandler(None)
        if self._faults is not None:
            faulthandler.disable()
            self._faults.close()
        logging.getLogger().removeHandler(self._handler)
        self._handler.close()

    def _caught(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            self._before(kind, error, trace)
            return
        text = "".join(traceback.format_exception(kind, error, trace))
        if isinstance(error, CinderlaneError):
            log.info("%s\n%s", error, text)
            self._say(str(error))
            return
        stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
        report = self._folder / f"crash-{stamp}.txt"
        try:
            report.write_text(text, encoding="utf-8")
        except OSError:
            log.info("The crash report could not be written.")
        log.error("Unforeseen error\n%s", text)
        self._say(
            tr(
                "Something went wrong inside Cinderlane. What you marked is saved. A report is in {path}."
            ).format(path=report)
        )

    def _say(self, sentence: str) -> None:
        if self.tell is not None:
            self.tell(sentence)
        elif sys.stderr is not None:
            print(sentence, file=sys.stderr)
