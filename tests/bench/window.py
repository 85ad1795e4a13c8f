"""Steps in the real window: picture, rail and rhythm chart painted, alone and beside heavy work."""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import av
from av.codec.context import ThreadType
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QGraphicsView, QWidget

from analysis.film import open_film
from analysis.jobs.child import put_last
from app.main_window import MainWindow
from app.settings import Settings
from tests.bench.playing import rest, turn
from tests.bench.rows import Row, Stopwatch, percentile, spread, times_raw
from tests.helpers.films import FRAMES, project_on

JUMPS, STEPS = 40, 16
GOAL_MS = 16.0


def window_rows() -> dict[str, Row]:
    """The rows that this file fills."""
    return {
        "alone": Row("step 0.3 s after a jump, the whole window: picture, rail, chart painted", "p99 16 ms"),
        "beside": Row("the same beside a heavy process of low priority with one thread", "p99 16 ms"),
    }


class _Painted(QObject):
    """Whether picture, rail and rhythm chart were painted since it was last asked for.

    The chart paints where its playhead moves, between the first touchdown and the last toe-off, and may do so
    a turn of the loop after the others.
    """

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        workspace = window.run_workspace
        self._chart = workspace.rhythm
        plot = self._chart.findChild(QGraphicsView)
        assert plot is not None
        self._plot = plot.viewport()
        self._always: tuple[QWidget, ...] = workspace.pane.view, workspace.rail
        self._painted: set[QObject] = set()
        self._playhead: float | None = None
        for widget in (*self._always, self._plot):
            widget.installEventFilter(self)

    def begin(self) -> None:
        """Count anew."""
        self._painted.clear()
        self._playhead = self._chart.playhead_at()

    @property
    def chart_moved(self) -> bool:
        """Whether the chart's playhead stands elsewhere than it did."""
        return self._chart.playhead_at() != self._playhead

    def alone(self) -> float:
        """Milliseconds to paint the three once more, the same frame."""
        begun = time.perf_counter()
        for widget in (*self._always, self._plot):
            widget.repaint()
        return (time.perf_counter() - begun) * 1000

    @property
    def done(self) -> bool:
        """Whether all that had to be painted was."""
        chart = self._plot in self._painted or not self.chart_moved
        return chart and self._painted.issuperset(self._always)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Note a painting; it is done before the loop gives back the turn."""
        if event.type() is QEvent.Type.Paint:
            self._painted.add(watched)
        return False


def measure(name: str, clip: Path, rows: dict[str, Row]) -> None:
    """Fill the rows for one film, with a run of five steps marked on it."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        film = home / clip.name
        film.symlink_to(clip.resolve())
        window = MainWindow(Settings(home / "settings.json"), home)
        window.resize(1440, 900)
        window.show()
        times = open_film(film).frames // FRAMES
        window.open_path(project_on(film, times=times))  # the run goes through the whole film
        pane, panels = window.run_workspace.pane, window.run_workspace.panels
        panels.show_panel(window.run_workspace.rhythm)
        while pane.shown < 0:
            turn()
        rest(8)  # the small pictures of the run are made
        painted = _Painted(window)
        rows["alone"].put(name, *_steps(window, painted))
        heavy = subprocess.Popen([sys.executable, "-m", "tests.bench.window", str(clip.resolve())])
        put_last(heavy)  # as all work beside the window
        try:
            rest(2)
            rows["beside"].put(name, *_steps(window, painted))
        finally:
            heavy.kill()
            heavy.wait()
        window.close()
        window.deleteLater()
        rest(0)


def _steps(window: MainWindow, painted: _Painted) -> tuple[str, bool]:
    """What those steps took in which all three had to be painted, and whether that meets the goal."""
    pane = window.run_workspace.pane
    chance = random.Random(8)
    took, own, raw = [], [], []
    assert pane.film is not None
    for _ in range(JUMPS):
        at = chance.randrange(STEPS + 1, pane.film.frames - STEPS - 1)
        pane.go_to(at)
        while pane.shown != at:
            turn()
        rest(0.3)
        way = chance.choice((1, -1))
        for _ in range(STEPS):
            at += way
            painted.begin()
            watch = Stopwatch()
            pane.step(way)
            while pane.shown != at or not painted.done:
                turn()
            all_ms, own_ms = watch.all_ms, watch.own_ms
            if painted.chart_moved:
                took.append(all_ms)
                own.append(own_ms)
            rest(0.03)
        raw.append(painted.alone())
    words = f"{spread(took)}; with a processor at hand {spread(own)}; {times_raw(took, raw)}"
    return words, percentile(took, 99) <= GOAL_MS


def heavy_work(path: str) -> None:
    """Decode a film with one thread, again and again, until the process is ended."""
    while True:
        with av.open(path) as container:
            context = container.streams.video[0].codec_context
            context.thread_count, context.thread_type = 1, ThreadType.SLICE
            for frame in container.decode(video=0):
                frame.reformat(format="bgra", threads=1)


if __name__ == "__main__":
    heavy_work(sys.argv[1])
