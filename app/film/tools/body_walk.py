"""One click after another: the points of a body on the frame that is shown."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Protocol

from analysis.report.body import body_scene, guesses_as_spots, spots_on, whole_scene
from analysis.report.scene import Dot, Handle, Scene, side_of
from analysis.values.command import Command, Kind
from analysis.values.point_names import point_words
from analysis.values.run import BodyPoint, Run
from analysis.values.words import tr
from app.bench import Bench
from app.film.figure import Guide, guide_on
from app.film.tools.select import REACH_POINTS, moved_to
from app.film.tools.tool import Aim, Surface, Tool, left_out, stays
from app.marking.bodies import (
    Place,
    asking_order,
    copies,
    far_guesses,
    knows_the_other_stride,
    likely_place,
    take,
)
from app.marking.placing import near_side, place_point
from app.selection import PartRef

SLIP_POINTS = 6.0
"""A press and release within this many widget points is a click, further apart a drag."""


class Ahead(Protocol):
    """Follows the body of marked frames on to another one, and tells the walk when it is there."""

    def ask(self, frame: int) -> bool:
        """Follow to a frame; False where that can't be."""

    def give_up(self) -> None:
        """Nobody waits for it any more."""


class BodyWalk(Tool):
    """Asks for one point after another on one frame, near side first; each takes one click.

    What is placed, followed or proposed already is taken hold of by a drag. Proposals are kept here until
    they are taken, dragged or dropped; they are no part of the run. What was followed here from marked frames
    is proposed where it is sure; those points are not asked for.
    """

    id = "body_tool"
    placing = True
    steps_back = True
    on_body = True

    def __init__(self, bench: Bench, surface: Surface, ahead: Ahead) -> None:
        self._bench = bench
        self._surface = surface
        self._ahead = ahead
        self._asked = ""
        self._frame = -1
        self._guesses: dict[str, BodyPoint] = {}
        self._sure: frozenset[str] = frozenset()
        self._waits = False
        self._offered = -1  # the frame on which the far side was proposed without being asked for
        self._pressed: Aim | None = None
        self._held: Handle | None = None
        self._dragging = False

    # what is asked

    @property
    def asked(self) -> str:
        """The point that the next click places; empty where all are placed."""
        run = self._bench.run
        if run is None:
            return ""
        self._follow_frame()
        return self._asked or self._next_missing(run, "")

    def asks(self) -> str:
        """Which point is wanted, and how many are left."""
        run, name = self._bench.run, self.asked
        if run is not None and not name and self._guesses:
            words = tr("Look at the {count} points that were followed here and drag what lies wrong.")
            return words.format(count=len(self._guesses))
        if run is None or not name:
            return tr("The whole body is placed. Drag a point to move it.")
        words = (
            tr("Click or drag the {point}. {left} to go.")
            if self._guesses
            else tr("Click the {point}. {left} to go.")
        )
        return words.format(point=point_words(name), left=len(self._asked_for(run)))

    def keys(self) -> str:
        """How to leave a point out, go back and leave."""
        if self._waits:
            return tr("The body is being followed to this frame. Escape drops the guesses.")
        if self._takes:
            return tr("Enter takes the guesses, Escape drops them.")
        if self._bench.run is None or not self.asked:
            return tr("Escape ends.")
        if self._guesses:
            return tr("Escape drops the guesses.")
        return tr("Enter skips, Backspace goes one back, Escape ends.")

    def beside(self) -> str:
        """That a point which is not on the picture is left out."""
        return left_out()

    def likely(self) -> Place | None:
        """Where the point that is asked for may lie."""
        run, name = self._bench.run, self.asked
        return (
            likely_place(run, self._bench.tracks, int(self._bench.frame), name)
            if run is not None and name
            else None
        )

    @property
    def guide(self) -> Guide | None:
        """The figure that shows which point is wanted."""
        run, name = self._bench.run, self.asked
        return None if run is None or not name else guide_on(run, int(self._bench.frame), name)

    def begin(self) -> None:
        """Ask for the first point that is missing."""
        self._asked, self._frame, self._offered = "", int(self._bench.frame), -1

    def end(self) -> None:
        """Drop what is half done, and the guesses."""
        self._forget()
        self._drop()

    # acts

    def press(self, aim: Aim) -> None:
        """Perhaps the begin of a drag."""
        self._follow_frame()
        self._pressed, self._dragging = aim, False
        self._held = self._nearest(aim)

    def move(self, aim: Aim, down: bool) -> None:
        """Show where the point would lie."""
        self._follow_frame()
        pressed = self._pressed
        if down and self._held is not None and pressed is not None:
            self._dragging |= math.hypot(aim.x - pressed.x, aim.y - pressed.y) > SLIP_POINTS
        name = self._held.id.partition(":")[2] if self._dragging and self._held is not None else self.asked
        dots = (Dot(Kind.POINT, "", side_of(name), aim.u, aim.v),) if name else ()
        self._show(dots)

    def release(self, aim: Aim) -> None:
        """Place the point that is asked for, or the one that was dragged."""
        run, held, dragging, name = self._bench.run, self._held, self._dragging, self.asked
        self._drop()
        if run is None:
            return
        if dragging and held is not None:
            if aim.beside:
                self._bench.said.emit(stays())
                return
            self._place(lambda: self._moved(run, held, aim), held.id.partition(":")[2])
            return
        if not name:
            if held is not None:
                self._bench.select(PartRef(Kind.POINT, held.id))
            return
        if self._place(lambda: place_point(run, self._bench.frame, name, aim.u, aim.v), name):
            now = self._bench.run
            self._asked = self._next_missing(now, name) if now is not None else ""
            self._offer()
            self._show()

    def skip(self) -> None:
        """Ask for the next missing point without placing this one; where it is proposed, take what is."""
        run = self._bench.run
        if self._takes:
            self.take_guesses()
        elif run is not None and self.asked:
            self._asked = self._next_missing(run, self.asked)

    def back(self) -> None:
        """Ask for the point before this one again, placed or not."""
        run = self._bench.run
        if run is None:
            return
        order = asking_order(near_side(run))
        name = self.asked
        at = order.index(name) if name else len(order)
        self._asked = order[max(0, at - 1)]

    def escape(self) -> bool:
        """Drop the guesses; False where there were none."""
        had = bool(self._guesses) or self._dragging
        self._forget()
        self._drop()
        return had

    # proposals

    def copy(self) -> None:
        """Propose the points of the last marked frame, and those that were followed here from there as soon
        as these are known. Raises PointError.
        """
        self._propose(copies)
        self._waits = self._ahead.ask(int(self._bench.frame))

    def followed(self, frame: int, points: tuple[BodyPoint, ...]) -> None:
        """Points that were followed to a frame take the place of copies: they are proposed, the others are
        asked for. Where none is sure, the copies stay.
        """
        run, waited = self._bench.run, self._waits
        self._follow_frame()
        self._waits = False
        if run is None or not waited or frame != self._frame:
            return
        missing = set(self._missing(run))
        found = {p.name: p for p in points if p.name in missing}
        if found:
            self._guesses, self._sure, self._asked = found, frozenset(found), ""
        self._show()

    def guess_far(self) -> None:
        """Propose the far side. Raises PointError."""
        self._propose(far_guesses)

    def take_guesses(self) -> None:
        """All proposals become placed points, in one edit."""
        run, guesses = self._bench.run, tuple(self._guesses.values())
        self._follow_frame()
        if run is None or not self._guesses:
            self._bench.said.emit(
                tr("There are no guesses on this frame. Copy points or guess the far side first.")
            )
        elif self._bench.attempt(lambda: take(run, guesses)):
            self._asked = ""
            self.escape()

    @property
    def guesses(self) -> tuple[BodyPoint, ...]:
        """What is proposed on the frame that is shown."""
        self._follow_frame()
        return tuple(self._guesses.values())

    def _offer(self) -> None:
        """Propose the far side, once a frame, when the near one is placed and a good guess is known."""
        run, frame = self._bench.run, int(self._bench.frame)
        if run is None or not self._asked or self._guesses or self._offered == frame:
            return
        far = f"{near_side(run).other.value}_"
        placed = any(p.frame == frame and p.name.startswith(far) for p in run.points)
        if self._asked.startswith(far) and not placed and knows_the_other_stride(run, frame):
            self._offered = frame
            self.guess_far()

    def _propose(self, make: Callable[[Run, int], tuple[BodyPoint, ...]]) -> None:
        run = self._bench.run
        if run is None:
            return
        self._follow_frame()
        self._guesses |= {p.name: p for p in make(run, int(self._bench.frame))}
        self._show()

    # inside

    @property
    def _takes(self) -> bool:
        """Whether Enter takes what is proposed: nothing else is asked for, or that very point is proposed."""
        name = self.asked
        return bool(self._guesses) and (not name or name in self._guesses)

    def _forget(self) -> None:
        """Drop the proposals, and wait for none."""
        self._guesses.clear()
        self._sure, self._waits = frozenset(), False
        self._ahead.give_up()

    def _place(self, make: Callable[[], Command], name: str) -> bool:
        if not self._bench.attempt(make):
            return False
        self._guesses.pop(name, None)
        self._bench.select(PartRef(Kind.POINT, f"{self._bench.frame}:{name}"))
        self._show()
        return True

    def _moved(self, run: Run, held: Handle, aim: Aim) -> Command:
        name = held.id.partition(":")[2]
        if name in self._guesses:
            return place_point(run, self._bench.frame, name, aim.u, aim.v)
        return moved_to(run, held, aim.u, aim.v)

    def _follow_frame(self) -> None:
        """Another frame is another body: what was asked and proposed on the one before is dropped."""
        if int(self._bench.frame) != self._frame:
            self._frame = int(self._bench.frame)
            self._asked = ""
            self._forget()
            self._surface.show_ghost(Scene())

    def _missing(self, run: Run) -> list[str]:
        placed = {p.name for p in run.points if p.frame == self._bench.frame}
        return [name for name in asking_order(near_side(run)) if name not in placed]

    def _asked_for(self, run: Run) -> list[str]:
        """What is missing and not surely proposed."""
        return [name for name in self._missing(run) if name not in self._sure or name not in self._guesses]

    def _next_missing(self, run: Run, after: str) -> str:
        order, left = asking_order(near_side(run)), self._asked_for(run)
        at = order.index(after) if after else -1
        return next((name for name in left if order.index(name) > at), left[0] if left else "")

    def _nearest(self, aim: Aim) -> Handle | None:
        run = self._bench.run
        if run is None:
            return None
        frame, near = int(self._bench.frame), near_side(run)
        found = body_scene(guesses_as_spots(self._guesses.values()), frame, near).handles
        found += tuple(
            h for h in whole_scene(run, None, frame, near, self._bench.tracks).handles if h.kind is Kind.POINT
        )
        reach = REACH_POINTS * aim.px_per_point
        near_by = [(math.hypot(h.u - aim.u, h.v - aim.v), n) for n, h in enumerate(found)]
        best = min(near_by, default=(math.inf, 0))
        return found[best[1]] if best[0] <= reach else None

    def _show(self, dots: tuple[Dot, ...] = ()) -> None:
        """Guesses joined with what is placed, and the pointer's own dot."""
        run = self._bench.run
        if run is None or not self._guesses:
            self._surface.show_ghost(Scene(dots=dots))
            return
        frame, near = int(self._bench.frame), near_side(run)
        spots = guesses_as_spots(self._guesses.values())
        joined = body_scene(spots | spots_on(run, self._bench.tracks, frame), frame, near)
        alone = body_scene(spots, frame, near)
        new = tuple(s for s in joined.strokes if s.look != "placed")
        self._surface.show_ghost(Scene(strokes=new, dots=(*alone.dots, *dots)))

    def _drop(self) -> None:
        self._pressed, self._held, self._dragging = None, None, False
        self._show()
