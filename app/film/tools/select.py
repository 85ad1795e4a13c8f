"""Select and move what is drawn; drag the picture where nothing is drawn."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from analysis.report.body import FOLLOWED_PART, whole_scene
from analysis.report.marks_seen import MarksSeen, marks_seen, picture_size
from analysis.report.scene import Handle, Scene
from analysis.values.command import Command, Kind
from analysis.values.errors import CinderlaneError, PointError
from analysis.values.film import FrameNumber
from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.film.tools.tool import Aim, Surface, Tool, stays
from app.marking import placing
from app.selection import PartRef

_Part = TypeVar("_Part")

REACH_POINTS = 14.0
"""How near, in widget points, a press has to be to take hold."""


class SelectTool(Tool):
    """A drag shows where the thing would go and what the reading would say; letting go is one edit."""

    id = "select_tool"

    @property
    def closeup(self) -> bool:
        """The close-up is there while something is dragged."""
        return self._moved

    def __init__(self, bench: Bench, surface: Surface) -> None:
        self._bench = bench
        self._surface = surface
        self._held: Handle | None = None
        self._grip = (0.0, 0.0)
        self._last: Aim | None = None
        self._moved = False

    def end(self) -> None:
        """Drop a drag."""
        self.escape()

    def press(self, aim: Aim) -> None:
        """Take hold of the nearest handle, else of the picture."""
        self._held, self._last, self._moved = self._nearest(aim), aim, False
        if self._held is None:
            self._bench.select(None)
            return
        self._grip = (self._held.u - aim.u, self._held.v - aim.v)
        self._bench.select(PartRef(self._held.kind, self._held.id, self._held.part))

    def move(self, aim: Aim, down: bool) -> None:
        """Show the drag."""
        if not down or self._last is None:
            return
        if self._held is None:
            self._surface.pan(aim.x - self._last.x, aim.y - self._last.y)
            self._last = aim
            return
        self._moved = self._moved or math.hypot(aim.x - self._last.x, aim.y - self._last.y) > 2
        if not self._moved:
            return
        try:
            preview = self._bench.preview(self._command(self._held, aim))
        except CinderlaneError:
            return
        if preview is not None:
            run, reading = preview
            run = self._seen(run).on(run, self._bench.frame)
            near = placing.near_side(run)
            self._surface.show_ghost(whole_scene(run, reading, self._bench.frame, near, self._bench.tracks))

    def release(self, aim: Aim) -> None:
        """Make the edit."""
        held, moved = self._held, self._moved
        self.escape()
        if held is not None and moved and held.kind is Kind.POINT and aim.beside:
            self._bench.said.emit(stays())
        elif held is not None and moved:
            self._bench.attempt(_later(self._command, held, aim))

    def escape(self) -> bool:
        """Leave everything where it was."""
        dragging = self._moved
        self._held, self._last, self._moved = None, None, False
        self._surface.show_ghost(Scene())
        return dragging

    def _nearest(self, aim: Aim) -> Handle | None:
        run = self._bench.run
        if run is None:
            return None
        run = self._seen(run).on(run, self._bench.frame)
        near_side = placing.near_side(run)
        handles = whole_scene(run, None, self._bench.frame, near_side, self._bench.tracks).handles
        reach = REACH_POINTS * aim.px_per_point
        near = [(math.hypot(h.u - aim.u, h.v - aim.v), -i, h) for i, h in enumerate(handles)]
        near = [item for item in near if item[0] <= reach]
        # of two in one place the later drawn one lies on top
        return min(near, key=lambda item: item[:2])[2] if near else None

    def _command(self, held: Handle, aim: Aim) -> Command:
        run = self._bench.run
        if run is None:
            raise CinderlaneError(tr("No run is open."))
        frame = self._bench.frame if self._seen(run).turns else None
        return moved_to(run, held, aim.u + self._grip[0], aim.v + self._grip[1], frame)

    def _seen(self, run: Run) -> MarksSeen:
        return marks_seen(self._bench.project, run, picture_size(self._bench.facts))


def moved_to(run: Run, held: Handle, u: float, v: float, frame: FrameNumber | None = None) -> Command:
    """The command that brings a handle to a picture place. Raises CinderlaneError where it can't go there.

    ``frame``: on which a mark lies there, where the camera turned; None: it stays on its own.
    """
    if held.kind is Kind.MARK:
        mark = _there(next((m for m in run.marks if m.id == held.id), None))
        there = mark.frame if frame is None else frame
        return placing.change_mark(run, mark, replace(mark, u=u, v=v, frame=there))
    if held.kind is Kind.POINT and held.part == FOLLOWED_PART:
        on, _, name = held.id.partition(":")
        return placing.place_point(run, int(on), name, u, v)
    if held.kind is Kind.POINT:
        point = _there(next((p for p in run.points if p.id == held.id), None))
        return placing.place_point(run, point.frame, point.name, u, v)
    line = _there(next((n for n in run.lines if n.id == held.id), None))
    lower = (u, v) if held.part == "lower" else line.lower
    upper = (u, v) if held.part == "upper" else line.upper
    return placing.move_line(run, line, lower, upper)


def _there(part: _Part | None) -> _Part:
    if part is None:  # undone while it was held
        raise PointError(tr("This is not there any more."))
    return part


def _later(make: Callable[[Handle, Aim], Command], held: Handle, aim: Aim) -> Callable[[], Command]:
    def made() -> Command:
        return make(held, aim)

    return made
