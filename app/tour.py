"""Without a display: the window at work as pictures, and the tables of the run."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEventLoop

from analysis.jobs.export import export_reading
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr
from app.application import make_app
from app.main_window import MainWindow
from app.settings import Settings

SIZE = (1440, 900)
LONGEST_WAIT_S = 20.0


def write_tour(home: Path, folder: Path, path: Path | None) -> int:
    """Write pictures of the window and the run's tables into ``folder``; returns the exit code."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    print(tr("There is no display for a window, so this writes a tour of it instead."), flush=True)
    app = make_app()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        print(tr("The folder {folder} can't be made.").format(folder=folder), file=sys.stderr)
        return 2
    # looks of its own: a tour never changes the coach's settings
    window = MainWindow(Settings(folder / "settings.json"), home)
    window.resize(*SIZE)
    window.show()
    try:
        opened = window.open_demo() if path is None else window.open_path(path)
        if not opened:
            print(window.notice.text.text(), file=sys.stderr, flush=True)
            return 2
        for name, words in _stops(window):
            app.processEvents()
            if not window.grab().save(str(folder / name)):
                raise CinderlaneError(tr("{path} can't be written.").format(path=folder / name))
            print(f"  {name}  {words}", flush=True)
        reading = window.bench.reading
        if reading is not None:
            export_reading(reading, folder / "reading.csv")
            export_reading(reading, folder / "reading.json")
            print(
                f"  reading.csv, reading.json  {tr('every number of the run, with its uncertainty')}",
                flush=True,
            )
    except CinderlaneError as error:
        print(error, file=sys.stderr, flush=True)
        return 2
    finally:
        window.close()
        window.deleteLater()
        with suppress(OSError):
            (folder / "settings.json").unlink()
    print(tr("The tour is in {folder}.").format(folder=folder.resolve()), flush=True)
    return 0


def _stops(window: MainWindow) -> Iterator[tuple[str, str]]:
    workspace, bench, actions = window.run_workspace, window.bench, window.actions_table
    wait_for_picture(window)
    window.notice.hide()
    yield "1-run.png", tr("a run at its first movement")
    run = bench.run
    downs = [f.touchdown for f in run.footfalls if f.touchdown is not None] if run is not None else []
    if downs:
        workspace.pane.go_to(downs[0])
        wait_for_picture(window)
        yield "2-first-touchdown.png", tr("the first touchdown with its lines")
    if len(downs) > 3:
        workspace.pane.go_to(downs[3])
        wait_for_picture(window)
        workspace.panels.show_panel(workspace.rhythm)
        yield "3-rhythm.png", tr("contact and flight step by step")
        workspace.panels.show_panel(workspace.steps)
    workspace.panels.show_panel(workspace.marks)
    yield "4-marks.png", tr("the marks that turn pixels into metres")
    workspace.panels.show_panel(workspace.summary)
    actions["dark"].trigger()
    yield "5-dark.png", tr("dark surfaces")
    actions["dark"].trigger()


def wait_for_picture(window: MainWindow) -> None:
    """Until the frame asked for last is on show, or a while has gone by."""
    pane = window.run_workspace.pane
    end = time.monotonic() + LONGEST_WAIT_S
    while pane.film is not None and pane.shown != pane.wanted and time.monotonic() < end:
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 50)
