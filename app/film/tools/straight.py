"""Click along things that are straight in the world; how bent they are seen tells the lens."""

from __future__ import annotations

from collections.abc import Callable

from analysis.report.scene import Dot, Scene, Stroke
from analysis.values.command import Kind
from analysis.values.words import tr
from app.bench import Bench
from app.film.tools.tool import Aim, Surface, Tool

FEWEST = 3
"""Clicks that a row needs to show a bend."""

Row = tuple[tuple[float, float], ...]


class StraightTool(Tool):
    """Clicks make a row; Enter ends it and hands over all rows of this taking in hand."""

    id = "straight_tool"
    placing = True

    def __init__(self, bench: Bench, surface: Surface, measured: Callable[[tuple[Row, ...]], None]) -> None:
        self._bench = bench
        self._surface = surface
        self._measured = measured
        self._rows: list[Row] = []
        self._row: list[tuple[float, float]] = []
        self._frame = -1

    def asks(self) -> str:
        """What to click."""
        wanted = FEWEST - len(self._row)
        if wanted > 0:
            return tr(
                "Click along a line that is straight in the world, best near the picture's edge: "
                "{count} more at least."
            ).format(count=wanted)
        return tr("More clicks make it better.")

    def keys(self) -> str:
        """How to measure, or to leave."""
        if len(self._row) < FEWEST:
            return tr("Escape ends.")
        return tr("Enter measures the lens; then another line can follow.")

    def begin(self) -> None:
        """Rows are gathered from here on."""
        self._rows = []

    def end(self) -> None:
        """Drop what was not measured."""
        self.escape()

    def release(self, aim: Aim) -> None:
        """One more place of the row; a row lies on one frame."""
        if self._frame != self._bench.frame:
            self._row, self._frame = [], int(self._bench.frame)
        self._row.append((aim.u, aim.v))
        self._surface.show_ghost(_ghost(self._row))

    def skip(self) -> None:
        """The row ends here: measure."""
        if len(self._row) < FEWEST:
            self._bench.said.emit(
                tr("A line needs {fewest} clicks or more to show a bend.").format(fewest=FEWEST)
            )
            return
        self._rows.append(tuple(self._row))
        self.escape()
        self._measured(tuple(self._rows))

    def escape(self) -> bool:
        """Drop the row that was begun."""
        clicking = bool(self._row)
        self._row = []
        self._surface.show_ghost(Scene())
        return clicking


def _ghost(row: list[tuple[float, float]]) -> Scene:
    chord = (Stroke(Kind.LINE, "", None, row[0], row[-1]),) if len(row) > 1 else ()
    return Scene(strokes=chord, dots=tuple(Dot(Kind.POINT, "", None, u, v) for u, v in row))
