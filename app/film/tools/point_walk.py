"""One click after another: the same body point on every frame that wants it."""

from __future__ import annotations

from collections.abc import Callable

from analysis.report.scene import Dot, Scene
from analysis.values.command import Kind
from analysis.values.point_names import point_words
from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.film.tools.tool import Aim, Surface, Tool, left_out
from app.marking.bodies import Place, likely_place
from app.marking.placing import place_point
from app.marking.walks import Stop, hip_stops, missing, next_missing, shoe_tip_stops


class PointWalk(Tool):
    """Goes to the first frame whose point is missing; a click places it and goes on to the next.

    On a frame that the walk would visit a click always means that frame's point, so any stop can be redone.
    """

    placing = True
    on_body = True

    def __init__(
        self,
        tool_id: str,
        bench: Bench,
        surface: Surface,
        stops: Callable[[Run], tuple[Stop, ...]],
        nothing: str,
    ) -> None:
        self.id = tool_id
        self._bench = bench
        self._surface = surface
        self._stops = stops
        self._nothing = nothing

    def asks(self) -> str:
        """Which point is wanted here, and how many are left."""
        run = self._bench.run
        stops = self._stops(run) if run is not None else ()
        if run is None or not stops:
            return self._nothing
        stop = self._here()
        left = len(missing(run, stops))
        if stop is None:
            return tr("No point of this walk belongs to this frame.") if left else tr("All placed.")
        words = tr("Click the {point}. {left} to go.")
        if not left:
            words = tr("All placed. A click moves the {point} of this frame.")
        return words.format(point=point_words(stop.name), left=left)

    def keys(self) -> str:
        """How to go on, and to leave."""
        run = self._bench.run
        stops = self._stops(run) if run is not None else ()
        if run is None or not stops:
            return ""
        if not missing(run, stops):
            return tr("Escape ends.")
        return tr("Enter goes to the next one.") if self._here() is None else tr("Enter skips, Escape ends.")

    def beside(self) -> str:
        """That a point which is not on the picture is left out."""
        return left_out()

    def likely(self) -> Place | None:
        """Where the same point lies on the nearest frame that holds it."""
        run, stop = self._bench.run, self._here()
        return (
            None
            if run is None or stop is None
            else likely_place(run, self._bench.tracks, stop.frame, stop.name)
        )

    def begin(self) -> None:
        """Go to the first stop that is missing."""
        self._go(-1)

    def end(self) -> None:
        """Take the ghost away."""
        self._surface.show_ghost(Scene())

    def release(self, aim: Aim) -> None:
        """Place the point and go on."""
        run, stop = self._bench.run, self._here()
        if run is None or stop is None:
            self._bench.said.emit(self.prompt())
            return
        if self._bench.attempt(lambda: place_point(run, stop.frame, stop.name, aim.u, aim.v)):
            self._surface.show_ghost(Scene())  # what is shown next is another frame
            if self._missing_here() is None:
                self._go(stop.frame)

    def skip(self) -> None:
        """Go to the next stop without placing this one."""
        self._go(self._bench.frame)

    def move(self, aim: Aim, down: bool) -> None:
        """Show where the point would lie."""
        stop = self._here()
        if stop is not None:
            self._surface.show_ghost(Scene(dots=(Dot(Kind.POINT, "", None, aim.u, aim.v),)))

    def _here(self) -> Stop | None:
        run = self._bench.run
        if run is None:
            return None
        here = next((stop for stop in self._stops(run) if stop.frame == self._bench.frame), None)
        return self._missing_here() or here

    def _missing_here(self) -> Stop | None:
        """The first point of this frame that is not placed; a frame may want several."""
        run = self._bench.run
        if run is None:
            return None
        left = missing(run, self._stops(run))
        return next((stop for stop in left if stop.frame == self._bench.frame), None)

    def _go(self, after: int) -> None:
        run = self._bench.run
        if run is None:
            return
        stop = next_missing(run, self._stops(run), after)
        if stop is None:
            self._bench.said.emit(tr("All placed.") if self._stops(run) else self._nothing)
        else:
            self._bench.go_to.emit(stop.frame)


def shoe_tip_walk(bench: Bench, surface: Surface) -> PointWalk:
    """The shoe tip of the landing foot at each touchdown."""
    nothing = tr("Tag the touchdowns first: the shoe tip is clicked at each of them.")
    return PointWalk("shoe_tool", bench, surface, shoe_tip_stops, nothing)


def hip_walk(bench: Bench, surface: Surface) -> PointWalk:
    """The near hip at each event."""
    nothing = tr("Tag touchdowns and toe-offs first: the hip is clicked at each of them.")
    return PointWalk("hip_tool", bench, surface, hip_stops, nothing)
