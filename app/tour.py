"""Without a display: the window at work as pictures, and the tables of the run."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEventLoop

from analysis.jobs.export import export_reading
from analysis.values.drill_film import DrillEvent, DrillKind
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr
from app.application import make_app
from app.film.pane import FilmPane
from app.main_window import MainWindow
from app.settings import Settings

SIZE = (1440, 900)
LONGEST_WAIT_S = 20.0
_TURNS = 5


def write_tour(home: Path, folder: Path, path: Path | None) -> int:
    """Write pictures of the window and the run's tables into ``folder``; returns the exit code."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    print(tr("There is no display for a window, so this writes a tour of it instead."), flush=True)
    _app = make_app()  # lives as long as the window
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
        for name, words in _stops(window, demo=path is None):
            _settle()
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


def _stops(window: MainWindow, *, demo: bool) -> Iterator[tuple[str, str]]:
    workspace, bench, actions = window.run_workspace, window.bench, window.actions_table
    wait_for_film(window)
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
    if bench.reading is not None and bench.reading.series:
        workspace.panels.show_panel(workspace.curves)
        yield "11-posture.png", tr("angles over the run's time, posture over the film")
        workspace.panels.show_panel(workspace.steps)
    workspace.panels.show_panel(workspace.marks)
    yield "4-marks.png", tr("the marks that turn pixels into metres")
    workspace.panels.show_panel(workspace.summary)
    actions["dark"].trigger()
    yield "5-dark.png", tr("dark surfaces")
    actions["dark"].trigger()
    if len(bench.project.sprints) > 1:
        yield from _two_runs(window)
    if demo:  # a coach's own project is only looked at
        yield from _plan(window)


def _two_runs(window: MainWindow) -> Iterator[tuple[str, str]]:
    compare, actions = window.compare_workspace, window.actions_table
    actions["go_first_movement"].trigger()
    wait_for_picture(window)
    actions["show_compare"].trigger()
    wait_for_pair(window)
    window.notice.hide()
    yield "6-compare-first-movement.png", tr("two runs side by side at first movement")
    look = compare.active.look
    steps = look.reading.steps if look is not None and look.reading is not None else ()
    names = (
        "7-compare-touchdown-1.png",
        "8-compare-touchdown-2.png",
        "9-compare-touchdown-3.png",
        "10-compare-touchdown-4.png",
    )
    for name, step in zip(names, steps, strict=False):
        if step.touchdown is not None:
            compare.active.pane.go_to(step.touchdown)
            wait_for_pair(window)
            yield name, tr("the same, at touchdown {step} of the upper film").format(step=step.step)
    beside = compare.beside
    pages = (
        (beside.differences, "12-differences.png", tr("what differs between the two runs")),
        (beside.charts, "15-charts.png", tr("both runs on one axis")),
        (beside.strips, "16-strips.png", tr("both posture strips, event over event")),
    )
    for page, name, words in pages:
        beside.setCurrentWidget(page)
        _settle()
        _wait_while(lambda: beside.strips.working)
        yield name, words
    beside.setCurrentWidget(beside.rails)
    actions["show_run"].trigger()
    wait_for_picture(window)


def _plan(window: MainWindow) -> Iterator[tuple[str, str]]:
    """A day for what the run at hand shows; the project is as it was afterwards."""
    before = window.bench.stack.index()
    window.actions_table["show_plan"].trigger()
    window.plan_workspace.plan_for_run()
    window.notice.hide()
    yield "13-plan.png", tr("a day planned for it")
    while window.bench.stack.index() > before:
        window.bench.undo()
    yield from _drill_film(window)
    window.actions_table["show_run"].trigger()
    wait_for_picture(window)


def _drill_film(window: MainWindow) -> Iterator[tuple[str, str]]:
    """A film of a drill at its last rep's release, its measures beside it."""
    plan = window.plan_workspace
    films = [one for one in window.bench.project.drill_films.values() if one.reps]
    if not films:
        return
    film = max(films, key=lambda one: one.kind is DrillKind.THROW)
    plan.open_film(film.id)
    wait_for_film(window)
    page = plan.drill_film
    frame = film.reps[-1].frame_of(DrillEvent.RELEASE)
    page.pane.go_to(film.reps[-1].first if frame is None else frame + 6)
    _wait_for((page.pane,))
    page.beside.setCurrentWidget(page.measures)
    _wait_while(lambda: page.row.working)
    window.notice.hide()
    yield "14-drill-film.png", tr("a drill's reps, cut out of one film and read")
    plan.close_film()


def wait_for_film(window: MainWindow) -> None:
    """Until the film of the run at hand is read, or a while has gone by."""
    end = time.monotonic() + LONGEST_WAIT_S
    while window.bench.film_state.order is not None and time.monotonic() < end:
        # waiting inside the loop lets the thread work that reads the film
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 50)


def wait_for_picture(window: MainWindow) -> None:
    """Until the frame asked for last is on show, or a while has gone by."""
    _wait_for((window.run_workspace.pane,))


def wait_for_pair(window: MainWindow) -> None:
    """The same for two films side by side."""
    compare = window.compare_workspace
    _wait_for((compare.upper_side.pane, compare.lower_side.pane))


def _wait_for(panes: tuple[FilmPane, ...]) -> None:
    _wait_while(lambda: any(p.film is not None and p.shown != p.wanted for p in panes))


def _wait_while(busy: Callable[[], bool]) -> None:
    """Let the loop turn while something goes on, for a while at most."""
    end = time.monotonic() + LONGEST_WAIT_S
    while busy() and time.monotonic() < end:
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 50)


def _settle() -> None:
    """Let what came to sight take its room: each turn of the loop may ask for another."""
    for _ in range(_TURNS):
        QCoreApplication.processEvents()
