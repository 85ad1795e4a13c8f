"""The whole window at work: opening a film in it, playing, two films in Compare, a fast scrub."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtWidgets import QApplication

from analysis.film import open_film
from app.film.pane import FULL_SIZE_SPEED, FilmPane
from app.film.ticker import TICK_MS, Ticker
from app.main_window import MainWindow
from app.settings import Settings
from tests.bench.playing import (
    CENTRES,
    KEPT,
    PLAY_S,
    SPEEDS,
    WAYS,
    against_need,
    goal,
    is_promised,
    rest,
    turn,
)
from tests.bench.reading import OVER_MS, Raw, raw_opening, raw_rate
from tests.bench.rows import Row, percentile, spread, timed, times_raw
from tests.helpers.films import FRAMES, project_on

OPENINGS = 8
SCRUBS, MOVES, SCRUB_S = 10, 200, 1.0


def whole_rows() -> dict[str, Row]:
    """The rows that this file fills."""
    rows = {
        "open": Row("opening a film in the whole window, until it is painted", "300 ms"),
        "open run": Row("opening a project with a marked run, until its film is painted", "measured"),
    }
    for direction, way in WAYS.items():
        for speed, word in SPEEDS.items():
            rows[f"play {speed} {direction}"] = Row(
                f"the whole window, {way}, {word} speed: ticks with the frame due", goal(speed, direction)
            )
    rows["scrub"] = Row(
        f"the whole window after {MOVES} moves of the strip in {SCRUB_S:g} s: the last frame in full size",
        "2 raw + 15 ms",
    )
    rows["two"] = Row(
        "Compare playing both films, quarter speed: ticks with both frames due, in full size", "99 %"
    )
    rows["two full"] = Row("Compare playing both films, full speed: the same", "99 %, small is fine")
    return rows


def measure(name: str, clip: Path, rows: dict[str, Row]) -> None:
    """Fill the rows for one film."""
    for row, marked in (("open", False), ("open run", True)):
        took, raw = zip(*((_opened(clip, marked), raw_opening(clip)) for _ in range(OPENINGS)), strict=True)
        met = None if marked else percentile(took, 95) <= 300
        rows[row].put(name, f"{spread(took)}; {times_raw(took, raw)}", met)
    with _window(clip) as window:
        pane, panels = window.run_workspace.pane, window.run_workspace.panels
        panels.show_panel(window.run_workspace.rhythm)
        _settle([pane])
        assert pane.film is not None
        rate = raw_rate(pane.film)
        for direction in WAYS:
            for speed in SPEEDS:
                share = _kept([pane], pane.ticker, speed, direction=direction)
                met = share >= KEPT if is_promised(name, speed, direction) else None
                rows[f"play {speed} {direction}"].put(name, f"{share:.1%}; {against_need(rate, speed)}", met)
        rows["scrub"].put(name, *_scrubs(pane))
        window.actions_table["show_compare"].trigger()
        compare = window.compare_workspace
        panes = [compare.upper_side.pane, compare.lower_side.pane]
        _settle(panes)
        for row, speed in (("two", 0.25), ("two full", 1.0)):
            share = _kept(panes, panes[0].ticker, speed, full=speed <= FULL_SIZE_SPEED)
            rows[row].put(name, f"{share:.1%}; {against_need(rate, speed, 2)}", share >= KEPT)


@contextmanager
def _window(clip: Path | None) -> Iterator[MainWindow]:
    """A window, with two runs on the film where one is given."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        window = MainWindow(Settings(home / "settings.json"), home)
        window.resize(1440, 900)
        window.show()
        if clip is not None:
            film = home / clip.name
            film.symlink_to(clip.resolve())
            window.open_path(project_on(film, runs=2, times=open_film(film).frames // FRAMES))
        try:
            yield window
        finally:
            window.close()
            window.deleteLater()
            rest(0)


def _opened(clip: Path, marked: bool) -> float:
    """Milliseconds from choosing a film in an empty window, or a project with a run on it, to its first
    picture on screen.
    """
    with tempfile.TemporaryDirectory() as folder, _window(None) as window:
        rest(0.3)
        pane = window.run_workspace.pane
        film = Path(folder) / clip.name  # a project is made beside it
        film.symlink_to(clip.resolve())
        path = project_on(film) if marked else film
        begun = time.perf_counter()
        window.open_path(path)
        _until(lambda: pane.shown >= 0)
        pane.view.repaint()
        return (time.perf_counter() - begun) * 1000


def _settle(panes: list[FilmPane]) -> None:
    """Until first pictures are on show and the small ones are made."""
    _until(lambda: all(pane.shown >= 0 for pane in panes))
    rest(16)


def _kept(
    panes: list[FilmPane], ticker: Ticker, speed: float, *, direction: int = 1, full: bool = False
) -> float:
    """Share of ticks after which every pane shows the frame due, in ``full`` size where asked so; ticks that
    do not come are missed.
    """
    film = panes[0].film
    assert film is not None
    times = film.facts.times
    begin = max(0.0, CENTRES[speed] * float(times.seconds[-1]) - PLAY_S * speed / 2)
    panes[0].go_to(times.last_at_or_before(begin if direction > 0 else begin + PLAY_S * speed))
    _until(lambda: all(pane.in_full for pane in panes))
    rest(0.5)
    ticker.set_speed(speed)
    came = kept = 0

    def moved(_: float) -> None:
        nonlocal came, kept
        came += 1
        kept += all(pane.shown == pane.wanted and (pane.in_full or not full) for pane in panes)

    ticker.moved.connect(moved)
    begun = time.perf_counter()
    ticker.play(direction)
    rest(PLAY_S)
    lasted = time.perf_counter() - begun
    ticker.pause()
    ticker.moved.disconnect(moved)
    rest(0.3)
    return min(1.0, kept / max(came, int(lasted * 1000 / TICK_MS) - 1))


def _scrubs(pane: FilmPane) -> tuple[str, bool]:
    film = pane.film
    assert film is not None
    raw = Raw(film)
    took, theirs, shown = zip(*(_scrubbed(pane, raw, number) for number in range(SCRUBS)), strict=True)
    raw.close()
    over = percentile([ours - raw for ours, raw in zip(took, theirs, strict=True)], 50)
    words = (
        f"{spread(took)}; raw {percentile(theirs, 50):.1f} ms, {over:+.1f} ms; {min(shown)} to {max(shown)}"
    )
    return f"{words} pictures shown", over <= percentile(theirs, 50) + OVER_MS


def _scrubbed(pane: FilmPane, raw: Raw, number: int) -> tuple[float, float, int]:
    """Milliseconds after the last of many moves until its frame is there in full size; what decoding it from
    its key frame takes; how many pictures were shown on the way.
    """
    film = pane.film
    assert film is not None
    last = film.frames - 1
    goal = last * (number + 1) // (SCRUBS + 2)
    pane.go_to(0 if number % 2 else last)
    rest(0.5)
    shown: list[int] = []
    pane.frame_shown.connect(shown.append)
    start, begun = pane.wanted, time.perf_counter()
    for move in range(1, MOVES + 1):
        pane.strip.frame_requested.emit(start + (goal - start) * move // MOVES)
        while time.perf_counter() - begun < SCRUB_S * move / MOVES:
            QApplication.processEvents()
    took = _in_full(pane, goal)
    pane.frame_shown.disconnect(shown.append)
    rest(0.5)  # what is made ready around the last frame does not run beside the decoder
    return took, timed(lambda: raw.decode_to(goal)), len(shown)


def _in_full(pane: FilmPane, goal: int) -> float:
    begun = time.perf_counter()
    _until(lambda: pane.shown == goal and pane.in_full)
    return (time.perf_counter() - begun) * 1000


def _until(true: Callable[[], bool]) -> None:
    while not true():
        turn()
