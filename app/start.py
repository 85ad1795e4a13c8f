"""Starts the window, or where there is no display writes a tour."""

from __future__ import annotations

import argparse
import gc
import signal
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication

from analysis import bootstrap
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr
from app.application import make_app
from app.crash import Watch
from app.home import home
from app.main_window import MainWindow
from app.settings import Settings
from app.tour import write_tour


def main(argv: Sequence[str]) -> int:
    """Open the demo project, or the film or project named; returns the exit code."""
    arguments = _arguments(argv)
    try:
        folder = home()
    except CinderlaneError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    watch = Watch(folder)
    watch.begin()
    try:
        if arguments.tour is not None or not bootstrap.has_display():
            return write_tour(folder, Path(arguments.tour or "cinderlane-tour"), arguments.path)
        return _open_window(folder, watch, arguments.path)
    finally:
        watch.end()


def _open_window(folder: Path, watch: Watch, path: Path | None) -> int:
    app = make_app()
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    with program_set_aside():
        return _run_window(app, folder, watch, path)


def _run_window(app: QApplication, folder: Path, watch: Watch, path: Path | None) -> int:
    window = MainWindow(Settings(folder / "settings.json"), folder)
    teller = _Teller(window)
    teller.said.connect(window.notice.say)
    watch.tell = teller.said.emit
    window.show()
    opening = _Opening(window, path)
    QTimer.singleShot(0, opening.begin)
    code = app.exec()
    window.close()  # also where the session ended the program: the film's thread ends before its window
    watch.tell = None
    return code


@contextmanager
def program_set_aside() -> Iterator[None]:
    """Python doesn't look for garbage among what was brought in until now, the program itself: each look
    through it would hold up the window, for a tenth of a second and more.
    """
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()


class _Teller(QObject):
    """Carries a sentence to the window's thread, whichever thread it comes from."""

    said = Signal(str)


class _Opening:
    """Opens what was asked for once the window is on show."""

    def __init__(self, window: MainWindow, path: Path | None) -> None:
        self._window = window
        self._path = path

    def begin(self) -> None:
        if self._path is None:
            self._window.open_demo()
        else:
            self._window.open_paths([self._path])


def _arguments(argv: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python3 -m app", description=tr("Read an athlete's first ten metres.")
    )
    parser.add_argument(
        "path", nargs="?", type=Path, help=tr("a film or a project; without it the demo project")
    )
    parser.add_argument(
        "--tour",
        nargs="?",
        const="cinderlane-tour",
        metavar="FOLDER",
        help=tr("write pictures of the window at work"),
    )
    return parser.parse_args(list(argv))
