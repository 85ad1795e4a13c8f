"""What the keys of events do: tag, name the foot, move, say how sure; each on the frame that is shown."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, Slot

from analysis.report.words import side_word
from analysis.values.command import Command
from analysis.values.run import Run, Side
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.film.pane import FilmPane
from app.marking import events as tagging
from app.marking import placing
from app.marking.events import EventRef
from app.marking.in_hand import draft_in_hand
from app.run.when_shown import WhenShown


class EventKeys(QObject):
    """Tags the run at hand by the pane in hand."""

    def __init__(
        self, bench: Bench, pane: FilmPane, when_shown: WhenShown, actions: Actions, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._bench = bench
        self._pane = pane
        self._when_shown = when_shown
        self._side: Side | None = None  # the coach's own choice for the next touchdown
        for name, act in {
            "run_begins": self._run_begins,
            "run_ends": self._run_ends,
            "first_movement": self._first_movement,
            "rear_toe_off": self._rear_toe_off,
            "front_toe_off": self._front_toe_off,
            "touchdown": self._touchdown,
            "toe_off": self._toe_off,
            "other_side": self._other_side,
            "front_foot": self._front_foot,
            "sure": self._sure,
            "unsure": self._unsure,
            "usual_doubt": self._usual_doubt,
            "event_earlier": self._event_earlier,
            "event_later": self._event_later,
        }.items():
            actions.do(name, act)
        bench.frame_changed.connect(self._let_go)

    def work_on(self, pane: FilmPane) -> None:
        """Take another pane in hand."""
        self._pane = pane

    def forget(self) -> None:
        """Drop the choice of a foot."""
        self._side = None

    @Slot()
    def _let_go(self) -> None:
        """Let go of an event out of sight, so that no key acts on it; a draft near by is still looked at."""
        run, selected = self._bench.run, self._bench.selected
        if run is None or not isinstance(selected, EventRef) or self._pane.ticker.clock.playing:
            return
        if tagging.frame_of(run, selected) not in (self._pane.wanted, None):
            self._bench.select(self._draft_in_hand(run))

    def _draft_in_hand(self, run: Run) -> EventRef | None:
        facts, held = self._bench.facts, self._bench.selected
        return None if facts is None else draft_in_hand(run, held, int(self._pane.wanted), facts.times)

    @property
    def next_side(self) -> Side | None:
        """The foot that the next touchdown is tagged for; None where no run is open."""
        run = self._bench.run
        if run is None:
            return None
        return self._side or tagging.next_side(run, self._bench.frame)

    @Slot()
    def _run_begins(self) -> None:
        self._cut("first_frame", tr("The run begins here"))

    @Slot()
    def _run_ends(self) -> None:
        self._cut("last_frame", tr("The run ends here"))

    def _cut(self, which: str, text: str) -> None:
        run = self._bench.run
        if run is not None and self._when_shown.ready(partial(self._cut, which, text)):
            self._bench.attempt(lambda: placing.cut(run, which, self._bench.frame, text))

    @Slot()
    def _first_movement(self) -> None:
        self._tag_start("first_movement")

    @Slot()
    def _rear_toe_off(self) -> None:
        self._tag_start("rear_toe_off")

    @Slot()
    def _front_toe_off(self) -> None:
        self._tag_start("front_toe_off")

    def _tag_start(self, which: str) -> None:
        run = self._bench.run
        if run is None or not self._when_shown.ready(partial(self._tag_start, which)):
            return
        before = self._doubts()
        if self._bench.attempt(lambda: tagging.tag_start(run, which, self._bench.frame)[0]):
            self._bench.select(EventRef("", which))
            self._say_new_doubts(before)

    @Slot()
    def _touchdown(self) -> None:
        run, side = self._bench.run, self.next_side
        if run is None or side is None or not self._when_shown.ready(self._touchdown):
            return
        made: list[EventRef] = []

        def tag() -> Command:
            command, ref = tagging.tag_touchdown(run, self._bench.frame, side)
            made.append(ref)
            return command

        before = self._doubts()
        if self._bench.attempt(tag):
            self._side = None
            self._bench.select(made[0])
            self._say_new_doubts(before)

    @Slot()
    def _toe_off(self) -> None:
        run = self._bench.run
        if run is None or not self._when_shown.ready(self._toe_off):
            return
        made: list[EventRef] = []
        side = self.next_side or Side.LEFT

        def tag() -> Command:
            command, ref = tagging.tag_toe_off(run, self._bench.frame, side)
            made.append(ref)
            return command

        before = self._doubts()
        if self._bench.attempt(tag):
            self._bench.select(made[0])
            self._say_new_doubts(before)

    @Slot()
    def _other_side(self) -> None:
        run, selected = self._bench.run, self._bench.selected
        if run is None:
            return
        if isinstance(selected, EventRef) and selected.footfall_id and self._is_here(run, selected):
            self._bench.attempt(lambda: tagging.change_side(run, selected.footfall_id))
        elif self.next_side is not None:
            self._side = self.next_side.other
            self._bench.said.emit(
                tr("The next touchdown is the {side} foot's.").format(side=side_word(self._side))
            )
            self._bench.selection_changed.emit(selected)

    @Slot()
    def _front_foot(self) -> None:
        run = self._bench.run
        if run is not None:
            side = run.start.front_side.other if run.start.front_side is not None else Side.RIGHT
            if self._bench.attempt(lambda: tagging.set_front_side(run, side)):
                self._bench.said.emit(tr("Front foot at the start: {side}.").format(side=side_word(side)))

    @Slot()
    def _sure(self) -> None:
        self._doubt(0)

    @Slot()
    def _unsure(self) -> None:
        self._doubt(1)

    @Slot()
    def _usual_doubt(self) -> None:
        self._doubt(None)

    def _doubt(self, frames: int | None) -> None:
        run, selected = self._bench.run, self._bench.selected
        if run is None or not isinstance(selected, EventRef) or not selected.footfall_id:
            self._bench.said.emit(
                tr("Select a footfall first: go to one of its events, or click it on the rail.")
            )
            return
        self._bench.attempt(lambda: tagging.change_doubt(run, selected.footfall_id, frames))

    @Slot()
    def _event_earlier(self) -> None:
        self._move_event(-1)

    @Slot()
    def _event_later(self) -> None:
        self._move_event(1)

    def _move_event(self, by: int) -> None:
        run, selected = self._bench.run, self._bench.selected
        event = selected if run is None or selected is not None else self._draft_in_hand(run)
        if run is None or not isinstance(event, EventRef):
            self._bench.said.emit(tr("Go to an event first: then these keys move it."))
            return
        frame = tagging.frame_of(run, event)
        if frame is not None and self._bench.attempt(lambda: tagging.move_event(run, event, frame + by)):
            self._pane.go_to(frame + by)
            self._bench.select(event)

    def _say_new_doubts(self, before: tuple[str, ...]) -> None:
        """What the reading doubts since the tag just made; said where it was made."""
        reading = self._bench.reading
        new = [doubt for doubt in reading.doubts if doubt not in before] if reading is not None else []
        if new:
            self._bench.said.emit(new[0])

    def _doubts(self) -> tuple[str, ...]:
        reading = self._bench.reading
        return reading.doubts if reading is not None else ()

    def _is_here(self, run: Run, ref: EventRef) -> bool:
        return tagging.frame_of(run, ref) == self._bench.frame
