"""Two sides under one clock: the lock, the slips, and what follows from them."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from analysis.reading.laying import Lock
from analysis.reading.lock import Moment
from analysis.report.other_body import Meet
from app.compare.axis import SharedAxis
from app.compare.choices import Choice, Choices, SideChoice
from app.compare.lock import Laid, choices, lay, span
from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.film.ticker import Ticker

_Shown = tuple[str, int] | None
"""The run of a side by its id, and which film it is; None without a film."""


def _shown(side: CompareSide) -> _Shown:
    film = side.pane.film
    return None if side.look is None or film is None else (side.look.run.id, id(film))


class Pairing(QObject):
    """Maps the clock to both films and lays their rails on one axis.

    Attributes: ``same_scale`` whether both pictures are to be at one; ``meet`` what of both bodies does where
    one lies over the other.
    Signals: ``laid`` they are laid side by side anew.
    """

    laid = Signal()

    def __init__(self, ticker: Ticker, sides: TwoSides, choices: Choices, parent: QObject) -> None:
        super().__init__(parent)
        self.sides = sides
        self.lock = Lock()
        self.same_scale = True
        self.meet = Meet.HIPS
        self.trouble = ""
        self._ticker = ticker
        self._axis = SharedAxis(sides, self)
        self._done: object = None
        self._choices = choices
        self._pair: tuple[str, str] | None = None  # the runs of both sides, by id
        self._shown: dict[CompareSide, _Shown] = {}  # when they were laid last

    def choose(self, lock: Lock, held: CompareSide) -> None:
        """Lay the films side by side in another way, without slips; the frame of ``held`` stays."""
        self.lock = lock
        for side in self.sides:
            side.set_slip(0.0, 0)
        self.keep()
        self.lay(held)

    def turned(self) -> None:
        """The lower side is the upper one now; the frame of the film in hand stays."""
        if self._pair is not None:
            self._pair = self._pair[1], self._pair[0]
            self.keep()
        self.lay(self.sides.in_hand)

    def lay(self, held: CompareSide) -> None:
        """Lay the films side by side as they stand now; the frame of ``held`` stays, and a loop with it.
        Where another run or film came to that side, those of the other side stay.
        """
        clock = self._ticker.clock
        as_before = [side for side in (held, *self.sides) if self._is_as_before(side)]
        kept = as_before[0] if as_before else held
        frame, playing = kept.pane.wanted, clock.playing and set(as_before) == set(self.sides)
        loop = None
        if clock.loop is not None and as_before:
            loop = [kept.pane.time_map.film_s(end) for end in clock.loop]
        self._recall()
        if self._take():
            facts = kept.look.facts if kept.look is not None else None
            if facts is not None and frame < facts.frames:
                clock.seek(kept.pane.time_map.master_s(facts.times.at(frame)))
            if loop is not None:
                clock.repeat(*map(kept.pane.time_map.master_s, loop))
            self._ticker.seek(clock.time_s)  # now both hear of it
            if playing:
                self._ticker.play()
        self._shown = {side: _shown(side) for side in self.sides}
        self.laid.emit()

    def _is_as_before(self, side: CompareSide) -> bool:
        shown = _shown(side)
        return shown is not None and shown == self._shown.get(side)

    def slip(self, side: CompareSide, frames: int) -> None:
        """Show another frame of one film at every moment of the other."""
        film, pane = side.pane.film, side.pane
        if film is None or len(film.facts.times) < 2:
            return
        times = film.facts.times
        there = min(max(pane.wanted + frames, 0), len(times) - 1)
        by_s = times.at(there) - times.at(pane.wanted)
        if there - pane.wanted != frames:  # at the film's end: as long as so many frames
            by_s = frames * times.interval_before(there)
        side.set_slip(side.slip_s + by_s, side.slip_frames + frames)
        self.keep()
        clock = self._ticker.clock
        time_s, playing, loop = clock.time_s, clock.playing, clock.loop
        self._take()
        if loop is not None:
            clock.repeat(*loop)
        self._ticker.seek(time_s)
        if playing:
            self._ticker.play()
        self.laid.emit()

    def keep(self) -> None:
        """Keep what is chosen for these two runs."""
        if self._pair is None:
            return
        upper, lower = (
            SideChoice(
                run_id, side.slip_s, side.slip_frames, side.mirror.isChecked(), side.other_body.isChecked()
            )
            for run_id, side in zip(self._pair, self.sides, strict=True)
        )
        self._choices.keep(Choice(upper, lower, self.lock, self.same_scale, self.meet))

    def _recall(self) -> None:
        """Take what was chosen for two runs that were side by side before."""
        upper, lower = (side.look for side in self.sides)
        pair = (upper.run.id, lower.run.id) if upper is not None and lower is not None else None
        if pair == self._pair:
            return
        self._pair = pair
        kept = self._choices.of(*pair) if pair is not None else None
        if kept is None:
            for side in self.sides:
                side.set_slip(0.0, 0)
        else:
            self.lock, self.same_scale, self.meet = kept.lock, kept.same_scale, kept.meet
            for side, chosen in zip(self.sides, (kept.upper, kept.lower), strict=True):
                side.set_slip(chosen.slip_s, chosen.slip_frames)
                side.mirror.setChecked(chosen.mirrored)
                side.other_body.setChecked(chosen.other_body)

    def _take(self) -> bool:
        """Give clock, panes and rails their maps; False where nothing has changed."""
        upper, lower = self.sides.upper, self.sides.lower
        laid = lay(upper.look, lower.look, self.lock)
        self.trouble = laid.trouble
        slipped = replace(
            laid,
            upper=laid.upper.slipped(upper.slip_s),
            lower=laid.lower.slipped(lower.slip_s),
            axis_s=laid.axis_s + lower.slip_s - upper.slip_s,
        )
        covered = span(((upper.look, slipped.upper), (lower.look, slipped.lower)))
        self._axis.lay(slipped.axis_s)
        done = (slipped, covered, upper.pane.film, lower.pane.film)
        if done == self._done:
            return False
        self._done = done
        self._map(slipped, covered)
        return True

    def _map(self, laid: Laid, covered: tuple[float, float]) -> None:
        for side, time_map in zip(self.sides, (laid.upper, laid.lower), strict=True):
            side.pane.set_time_map(time_map)
        self._ticker.clock.cover(*covered)

    @property
    def moments(self) -> tuple[Moment, ...]:
        """The events that both runs have."""
        return choices(self.sides.upper.look, self.sides.lower.look)
