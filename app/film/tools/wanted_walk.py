"""One click after another, from frame to frame: the points that would answer measures that can't be read."""

from __future__ import annotations

from analysis.report.scene import Dot, Scene, side_of
from analysis.values.command import Kind
from analysis.values.estimate import NoValue
from analysis.values.point_names import point_words
from analysis.values.run import Side
from analysis.values.words import tr
from app.bench import Bench
from app.film.figure import Guide, guide_on
from app.film.tools.tool import Aim, Surface, Tool, left_out
from app.marking.bodies import Place, likely_place
from app.marking.placing import near_side, place_point
from app.marking.walks import Stop
from app.marking.wanted import Ask, answered, cost_words, stops_for, undecided, wishes


class WantedWalk(Tool):
    """Goes to the first frame that wants a point; a click places it and asks for the next.

    What is wanted is read anew after every click: a point may answer several measures, and where the hips
    pass a place shows only once they stand on the frames on either side. Enter leaves a point out, Backspace
    asks again for the one before.
    """

    id = "wanted_tool"
    placing = True
    steps_back = True
    on_body = True

    def __init__(self, bench: Bench, surface: Surface) -> None:
        self._bench = bench
        self._surface = surface
        self._ask = Ask()
        self._skipped: set[Stop] = set()
        self._placed: list[Stop] = []
        self._asked: Stop | None = None
        self._again: Stop | None = None

    def ask_for(self, ask: Ask) -> None:
        """Walk for these measures; none: for the launch and the first strike, else what is wanted first."""
        self._ask = ask
        self._skipped.clear()
        self._placed.clear()
        self._asked = self._again = None

    # what is asked

    @property
    def stop(self) -> Stop | None:
        """The point that the next click places; None where nothing is wanted any more."""
        if self._again is not None:
            return self._again
        left = self._left()
        if self._asked not in left:
            reached = -1 if self._asked is None else self._asked.frame
            self._asked = next((s for s in left if s.frame >= reached), left[0] if left else None)
        return self._asked

    @property
    def done(self) -> bool:
        """Whether nothing is asked for any more."""
        return self.stop is None

    def asks(self) -> str:
        """Which point is wanted, and how many are left."""
        stop = self.stop
        if stop is None:
            return self._end_words()
        if stop.frame != self._bench.frame:
            return tr("The next point is on frame {frame}.").format(frame=stop.frame)
        words = tr("Click the {point}. {left} to go.")
        return words.format(point=point_words(stop.name), left=len(self._left()))

    def keys(self) -> str:
        """How to leave a point out, go back and leave."""
        stop = self.stop
        if stop is None:
            return tr("Escape ends.")
        if stop.frame != self._bench.frame:
            return tr("Enter goes there, Escape ends.")
        return tr("Enter skips, Backspace goes one back, Escape ends.")

    def beside(self) -> str:
        """That a point which is not on the picture is left out."""
        return left_out()

    def likely(self) -> Place | None:
        """Where the point that is asked for may lie."""
        run, stop = self._bench.run, self.stop
        if run is None or stop is None:
            return None
        return likely_place(run, self._bench.tracks, stop.frame, stop.name)

    @property
    def guide(self) -> Guide | None:
        """The figure that shows which point is wanted."""
        run, stop = self._bench.run, self.stop
        if run is None or stop is None or stop.frame != self._bench.frame:
            return None
        return guide_on(run, stop.frame, stop.name)

    def begin(self) -> None:
        """Go to the first frame that wants a point."""
        if not self._ask.keys:
            reading = self._bench.reading
            first = next(iter(wishes(reading)), None) if reading is not None else None
            self._ask = first.ask if first is not None else Ask()
        self._go_on()

    def end(self) -> None:
        """Forget what was walked for."""
        self._surface.show_ghost(Scene())
        self.ask_for(Ask())

    # acts

    def move(self, aim: Aim, down: bool) -> None:
        """Show where the point would lie."""
        stop = self.stop
        if stop is not None and stop.frame == self._bench.frame:
            dot = Dot(Kind.POINT, "", side_of(stop.name), aim.u, aim.v)
            self._surface.show_ghost(Scene(dots=(dot,)))

    def release(self, aim: Aim) -> None:
        """Place the point and go on."""
        run, stop = self._bench.run, self.stop
        if run is None or stop is None or stop.frame != self._bench.frame:
            self._bench.said.emit(self.prompt())
            return
        if self._bench.attempt(lambda: place_point(run, stop.frame, stop.name, aim.u, aim.v)):
            self._surface.show_ghost(Scene())  # what is shown next may be another frame
            self._placed.append(stop)
            self._again = None
            self._go_on()

    def skip(self) -> None:
        """Leave this point out, or go back to the frame that wants one."""
        stop = self.stop
        if stop is not None and stop.frame == self._bench.frame:
            self._skipped.add(stop)
            self._again = None
        self._go_on()

    def back(self) -> None:
        """Ask again for the point that was placed last."""
        if self._placed:
            self._again = self._placed.pop()
            self._bench.go_to.emit(self._again.frame)

    # inside

    def _left(self) -> list[Stop]:
        run = self._bench.run
        if run is None:
            return []
        return [
            s for s in stops_for(self._bench.reading, self._ask, near_side(run)) if s not in self._skipped
        ]

    def _go_on(self) -> None:
        stop = self.stop
        if stop is None:
            self._bench.said.emit(self._end_words())
        elif stop.frame != self._bench.frame:
            self._bench.go_to.emit(stop.frame)

    def _end_words(self) -> str:
        reading, ask = self._bench.reading, self._ask
        if not ask.keys:
            if reading is not None and any(not isinstance(r.result, NoValue) for r in reading.posture):
                return tr("No measure of the body waits for points: what the tagged events allow is read.")
            return tr(
                "No measure of the body waits for points. Tag the events of the start and of the steps first."
            )
        if ask.closer:
            return tr("Done: both sides' points count. What the reading says may have changed.")
        words = tr("Done: {count} of {all} measures are read.")
        done = words.format(count=answered(reading, ask.keys), all=len(ask.keys))
        keys = undecided(reading) if reading is not None else ()
        cost = cost_words(stops_for(reading, Ask(keys, closer=True), Side.RIGHT))
        more = tr(
            "The launch is not decided: the other side's points tell more, {cost}. Begin again for them."
        )
        return f"{done} {more.format(cost=cost)}" if keys else done
