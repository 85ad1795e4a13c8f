"""Draw a line from its lower to its upper end and see its angle while drawing."""

from __future__ import annotations

import math

from analysis.report.body import whole_scene
from analysis.report.marks_seen import marks_seen, picture_size
from analysis.report.scene import Scene, Stroke
from analysis.values.command import Command, Kind
from analysis.values.errors import CinderlaneError
from analysis.values.run import LineKind, Run, Side
from analysis.values.words import tr
from app.bench import Bench
from app.film.tools.tool import Aim, Surface, Tool
from app.marking.placing import draw_line, near_side
from app.selection import PartRef

CLICK_POINTS = 5.0
"""A press and release within this many widget points is a click: the other end is the next click."""


class LineTool(Tool):
    """Drag from end to end, or click one end and then the other."""

    placing = True

    def __init__(self, tool_id: str, kind: LineKind, bench: Bench, surface: Surface) -> None:
        self.id = tool_id
        self._kind = kind
        self._bench = bench
        self._surface = surface
        self._start: Aim | None = None
        self._clicked = False

    def asks(self) -> str:
        """What to draw."""
        if self._start is not None:
            return tr("Now the other end.")
        return {
            LineKind.TRUNK: tr("Draw from hip to shoulder."),
            LineKind.SHIN: tr("Draw from ankle to knee."),
            LineKind.THIGH: tr("Draw from knee to hip."),
            LineKind.FREE: tr("Draw any line."),
        }[self._kind]

    def keys(self) -> str:
        """How to leave."""
        return tr("Escape ends.") if self._start is None else tr("Escape drops the line.")

    def end(self) -> None:
        """Drop a half-drawn line."""
        self.escape()

    def press(self, aim: Aim) -> None:
        """One end, or after a click the other."""
        if self._start is None:
            self._start = aim

    def move(self, aim: Aim, down: bool) -> None:
        """Show the line as it would be, with its angle."""
        if self._start is None:
            return
        run = self._bench.run
        if run is None:
            return
        try:
            preview = self._bench.preview(self._command(run, aim))
        except CinderlaneError:
            self._surface.show_ghost(self._bare_ghost(aim))
            return
        if preview is not None:
            after, reading = preview
            seen = marks_seen(self._bench.project, after, picture_size(self._bench.facts))
            after = seen.on(after, self._bench.frame)
            near = near_side(after)
            self._surface.show_ghost(whole_scene(after, reading, self._bench.frame, near, self._bench.tracks))

    def release(self, aim: Aim) -> None:
        """End the line, unless this was the click of its first end."""
        start, run = self._start, self._bench.run
        if start is None or run is None:
            return
        if not self._clicked and math.hypot(aim.x - start.x, aim.y - start.y) < CLICK_POINTS:
            self._clicked = True
            return
        made: list[Command] = []

        def make() -> Command:
            made.append(self._command(run, aim, start))
            return made[-1]

        if self._bench.attempt(make) and made[0].changes:
            self._bench.select(PartRef(Kind.LINE, made[0].changes[0].id, "upper"))
        self.escape()

    def escape(self) -> bool:
        """Drop a half-drawn line."""
        drawing = self._start is not None
        self._start, self._clicked = None, False
        self._surface.show_ghost(Scene())
        return drawing

    def _command(self, run: Run, aim: Aim, start: Aim | None = None) -> Command:
        first = start or self._start or aim
        side = self._side(run)
        return draw_line(run, self._bench.frame, self._kind, side, (first.u, first.v), (aim.u, aim.v))

    def _side(self, run: Run) -> Side | None:
        """A shin or thigh belongs to the foot on the ground, in flight to the one that lands next."""
        if self._kind in (LineKind.TRUNK, LineKind.FREE):
            return None
        frame = self._bench.frame
        for footfall in run.footfalls:
            last = footfall.toe_off if footfall.toe_off is not None else footfall.touchdown
            if last is not None and frame <= last:
                return footfall.side
        return run.footfalls[-1].side if run.footfalls else near_side(run)

    def _bare_ghost(self, aim: Aim) -> Scene:
        if self._start is None:
            return Scene()
        ends = (self._start.u, self._start.v), (aim.u, aim.v)
        return Scene(strokes=(Stroke(Kind.LINE, "", None, *ends),))
