"""What the keys do: film, events, selection, on the pane in hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QObject, Slot
from PySide6.QtGui import QKeySequence

from analysis.report.body import FOLLOWED_PART, whole_scene
from analysis.report.marks_seen import MarksSeen, marks_seen, picture_size
from analysis.report.scene import Handle
from analysis.report.words import side_word
from analysis.values.command import Command
from analysis.values.errors import CinderlaneError
from analysis.values.face_cover import FaceCover
from analysis.values.project import Project
from analysis.values.run import Direction, Run, Side
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.film.pane import FilmPane
from app.film.tools.select import moved_to
from app.film.transport import SPEEDS
from app.marking import events as tagging
from app.marking import faces, placing
from app.marking.events import EventRef
from app.selection import PartRef

NUDGE_PX = 0.1


class Desk(QObject):
    """Connects actions to the bench and the film pane. ``face_in_hand``: gives what is covered of it."""

    def __init__(
        self,
        bench: Bench,
        pane: FilmPane,
        actions: Actions,
        face_in_hand: Callable[[], FaceCover | None],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._face_in_hand = face_in_hand
        self._bench = bench
        self._pane = pane
        self._actions = actions
        self._waiting: tuple[int, Callable[[], None]] | None = None
        self._side: Side | None = None  # the coach's own choice for the next touchdown
        self._loop_from: int | None = None
        self.refuse_draft: Callable[[], bool] | None = None
        for name, act in {
            "step_back": self._step_back,
            "step_forward": self._step_forward,
            "ten_back": self._ten_back,
            "ten_forward": self._ten_forward,
            "play": self._play,
            "reverse": self._reverse,
            "slower": self._slower,
            "faster": self._faster,
            "full_speed": self._full_speed,
            "loop": self._loop,
            "replay": self._replay,
            "go_first_movement": self._go_first_movement,
            "next_event": self._next_event,
            "previous_event": self._previous_event,
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
            "delete": self._delete,
            "event_earlier": self._event_earlier,
            "event_later": self._event_later,
            "no_face": self._no_face,
            "no_face_before": self._no_face_before,
            "uncover_face": self._uncover_face,
            "nudge_left": self._nudge_left,
            "nudge_right": self._nudge_right,
            "nudge_up": self._nudge_up,
            "nudge_down": self._nudge_down,
            "run_left": self._run_left,
            "undo": self._undo,
            "redo": self._redo,
            "fit": self._fit,
            "zoom_in": self._zoom_in,
            "zoom_out": self._zoom_out,
        }.items():
            actions.do(name, act)
        self._run_id = ""
        bench.frame_changed.connect(self._frame_came)
        bench.run_changed.connect(self._run_came)

    @property
    def pane(self) -> FilmPane:
        """The pane in hand."""
        return self._pane

    def work_on(self, pane: FilmPane) -> None:
        """Take another pane in hand; the run at hand on the bench is the one that it shows."""
        if pane is not self._pane:
            self._pane = pane
            self.forget()

    @Slot(object)
    def _run_came(self, run: Run | None) -> None:
        """What was begun on one run is not for the next one, on the same film or not."""
        run_id = run.id if run is not None else ""
        if run_id != self._run_id:
            self._run_id = run_id
            self.forget()

    def forget(self) -> None:
        """Another run comes: what was begun on the one before is dropped."""
        self._side = self._loop_from = self._waiting = None

    @property
    def next_side(self) -> Side | None:
        """The foot that the next touchdown is tagged for; None where no run is open."""
        run = self._bench.run
        if run is None:
            return None
        return self._side or tagging.next_side(run, self._bench.frame)

    # film

    @Slot()
    def _step_back(self) -> None:
        self._pane.step(-1)

    @Slot()
    def _step_forward(self) -> None:
        self._pane.step(1)

    @Slot()
    def _ten_back(self) -> None:
        self._pane.step(-10)

    @Slot()
    def _ten_forward(self) -> None:
        self._pane.step(10)

    @Slot()
    def _play(self) -> None:
        ticker = self._pane.ticker
        if ticker.clock.playing:
            ticker.pause()
        else:
            ticker.play(1)

    @Slot()
    def _reverse(self) -> None:
        ticker = self._pane.ticker
        if ticker.clock.playing and ticker.clock.direction < 0:
            ticker.pause()
        else:
            ticker.play(-1)

    @Slot()
    def _slower(self) -> None:
        slower = [share for share in SPEEDS if share < self._pane.ticker.clock.speed]
        self._pane.ticker.set_speed(slower[-1] if slower else SPEEDS[0])

    @Slot()
    def _faster(self) -> None:
        faster = [share for share in SPEEDS if share > self._pane.ticker.clock.speed]
        self._pane.ticker.set_speed(faster[0] if faster else SPEEDS[-1])

    @Slot()
    def _full_speed(self) -> None:
        self._pane.ticker.toggle_full_speed()

    @Slot()
    def _loop(self) -> None:
        film, ticker = self._pane.film, self._pane.ticker
        if film is None:
            return
        if ticker.clock.loop is not None:
            ticker.stop_repeating()
            self._bench.said.emit(tr("The loop is off."))
        elif self._loop_from is None:
            self._loop_from = self._pane.wanted
            self._bench.said.emit(tr("The loop begins here. Go to its end and press the key again."))
        else:
            self.loop_between(self._loop_from, self._pane.wanted)
            self._loop_from = None

    def loop_between(self, first: int, last: int) -> None:
        """Repeat the frames from ``first`` to ``last``, both shown."""
        film = self._pane.film
        first, last = sorted((first, last))
        if film is None or first == last:
            self._bench.said.emit(
                tr("A loop needs more than one frame. Press the key at its begin and at its end.")
            )
            return
        self._pane.repeat(first, last)
        self._pane.ticker.play(1)

    @Slot()
    def _replay(self) -> None:
        run = self._bench.run
        if run is None:
            return
        downs = [
            f.touchdown for f in run.footfalls if f.touchdown is not None and f.touchdown <= self._bench.frame
        ]
        if not downs:
            self._bench.said.emit(tr("Two steps are replayed from their touchdowns. Tag touchdowns first."))
            return
        end = self._bench.frame
        begin = downs[-3] if len(downs) > 2 else (run.start.first_movement or run.first_frame)
        self._pane.go_to(begin)
        self.loop_between(begin, max(end, begin + 1))

    @Slot()
    def _go_first_movement(self) -> None:
        run = self._bench.run
        if run is not None:
            first = run.start.first_movement
            self._pane.go_to(run.first_frame if first is None else first)

    @Slot()
    def _next_event(self) -> None:
        self._go_event(1)

    @Slot()
    def _previous_event(self) -> None:
        self._go_event(-1)

    def _go_event(self, direction: int) -> None:
        run = self._bench.run
        if run is None:
            return
        here = self._pane.wanted
        all_events = tagging.events(run)
        there = [e for e in all_events if (e[0] - here) * direction > 0]
        if not there:
            self._bench.said.emit(
                tr("No event further on.") if direction > 0 else tr("No event before this one.")
            )
            return
        frame, ref = there[0] if direction > 0 else there[-1]
        self._pane.go_to(frame)
        self._bench.select(ref)

    # events

    @Slot()
    def _run_begins(self) -> None:
        self._cut("first_frame", tr("The run begins here"))

    @Slot()
    def _run_ends(self) -> None:
        self._cut("last_frame", tr("The run ends here"))

    def _cut(self, which: str, text: str) -> None:
        run = self._bench.run
        if run is not None and self._ready(partial(self._cut, which, text)):
            self._attempt(lambda: placing.cut(run, which, self._bench.frame, text))

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
        if run is None or not self._ready(partial(self._tag_start, which)):
            return
        before = self._doubts()
        if self._attempt(lambda: tagging.tag_start(run, which, self._bench.frame)[0]):
            self._bench.select(EventRef("", which))
            self._say_new_doubts(before)

    @Slot()
    def _touchdown(self) -> None:
        run, side = self._bench.run, self.next_side
        if run is None or side is None or not self._ready(self._touchdown):
            return
        made: list[EventRef] = []

        def tag() -> Command:
            command, ref = tagging.tag_touchdown(run, self._bench.frame, side)
            made.append(ref)
            return command

        before = self._doubts()
        if self._attempt(tag):
            self._side = None
            self._bench.select(made[0])
            self._say_new_doubts(before)

    @Slot()
    def _toe_off(self) -> None:
        run = self._bench.run
        if run is None or not self._ready(self._toe_off):
            return
        made: list[EventRef] = []
        side = self.next_side or Side.LEFT

        def tag() -> Command:
            command, ref = tagging.tag_toe_off(run, self._bench.frame, side)
            made.append(ref)
            return command

        before = self._doubts()
        if self._attempt(tag):
            self._bench.select(made[0])
            self._say_new_doubts(before)

    @Slot()
    def _other_side(self) -> None:
        run, selected = self._bench.run, self._bench.selected
        if run is None:
            return
        if isinstance(selected, EventRef) and selected.footfall_id and self._is_here(run, selected):
            self._attempt(lambda: tagging.change_side(run, selected.footfall_id))
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
            if self._attempt(lambda: tagging.set_front_side(run, side)):
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
        self._attempt(lambda: tagging.change_doubt(run, selected.footfall_id, frames))

    # what is selected

    @Slot()
    def _delete(self) -> None:
        run, selected = self._bench.run, self._bench.selected
        if run is None or selected is None:
            self._bench.said.emit(tr("Select an event or something on the picture first."))
            return
        if self.refuse_draft is not None and self.refuse_draft():
            return
        if isinstance(selected, EventRef):
            done = self._attempt(lambda: tagging.delete_event(run, selected))
        elif selected.end == FOLLOWED_PART:
            self._bench.said.emit(
                tr("This point was followed, not placed. Drag it, or delete the placed ones on their frames.")
            )
            return
        else:
            done = self._attempt(lambda: placing.delete_part(run, selected.kind, selected.id))
        if done:
            self._bench.select(None)
            key = self._actions["undo"].shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            self._bench.said.emit(
                tr("{what}: done. {key} takes it back.").format(what=self._bench.stack.undoText(), key=key)
            )

    @Slot()
    def _no_face(self) -> None:
        self._face(faces.no_face)

    @Slot()
    def _no_face_before(self) -> None:
        self._face(faces.no_face_before)

    @Slot()
    def _uncover_face(self) -> None:
        self._face(faces.uncover)

    def _face(self, make: Callable[[Project, FaceCover, int], Command]) -> None:
        cover = self._face_in_hand()
        if cover is not None and self._ready(partial(self._face, make)):
            self._attempt(lambda: make(self._bench.project, cover, int(self._bench.frame)))

    @Slot()
    def _event_earlier(self) -> None:
        self._move_event(-1)

    @Slot()
    def _event_later(self) -> None:
        self._move_event(1)

    def _move_event(self, by: int) -> None:
        run, selected = self._bench.run, self._bench.selected
        if run is None or not isinstance(selected, EventRef):
            self._bench.said.emit(tr("Go to an event first: then these keys move it."))
            return
        frame = tagging.frame_of(run, selected)
        if frame is not None and self._attempt(lambda: tagging.move_event(run, selected, frame + by)):
            self._pane.go_to(frame + by)

    @Slot()
    def _nudge_left(self) -> None:
        self._nudge(-NUDGE_PX, 0)

    @Slot()
    def _nudge_right(self) -> None:
        self._nudge(NUDGE_PX, 0)

    @Slot()
    def _nudge_up(self) -> None:
        self._nudge(0, -NUDGE_PX)

    @Slot()
    def _nudge_down(self) -> None:
        self._nudge(0, NUDGE_PX)

    def _nudge(self, du: float, dv: float) -> None:
        run, selected = self._bench.run, self._bench.selected
        if run is None or not isinstance(selected, PartRef):
            self._bench.said.emit(tr("Select a mark, point or line first: then these keys nudge it."))
            return
        held = self._handle(run, selected)
        if held is not None:
            across = -du if self._pane.view.mapping.mirrored else du  # left is left on the screen
            frame = self._bench.frame if self._seen(run).turns else None
            self._attempt(lambda: moved_to(run, held, held.u + across, held.v + dv, frame))

    def _handle(self, run: Run, part: PartRef) -> Handle | None:
        run = self._seen(run).on(run, self._bench.frame)
        near = placing.near_side(run)
        handles = whole_scene(run, None, self._bench.frame, near, self._bench.tracks).handles
        mine = [h for h in handles if h.kind is part.kind and h.id == part.id]
        return next((h for h in mine if h.part == part.end), mine[0] if mine else None)

    def _seen(self, run: Run) -> MarksSeen:
        return marks_seen(self._bench.project, run, picture_size(self._bench.facts))

    @Slot()
    def _run_left(self) -> None:
        run = self._bench.run
        if run is not None:
            direction = Direction.LEFT if run.direction is Direction.RIGHT else Direction.RIGHT
            text = tr("Direction of the run")
            self._attempt(lambda: placing.change_run(run, replace(run, direction=direction), text))
        # the tick comes from the run, also where the edit was refused
        now = self._bench.run
        self._actions["run_left"].setChecked(now is not None and now.direction is Direction.LEFT)

    @Slot()
    def _fit(self) -> None:
        self._pane.view.fit()

    @Slot()
    def _zoom_in(self) -> None:
        self._pane.view.zoom(1.5)

    @Slot()
    def _zoom_out(self) -> None:
        self._pane.view.zoom(1 / 1.5)

    @Slot()
    def _undo(self) -> None:
        self._try(self._bench.undo)

    @Slot()
    def _redo(self) -> None:
        self._try(self._bench.redo)

    # inside

    def _say_new_doubts(self, before: tuple[str, ...]) -> None:
        """What the reading doubts since the tag just made; said where it was made."""
        reading = self._bench.reading
        new = [doubt for doubt in reading.doubts if doubt not in before] if reading is not None else []
        if new:
            self._bench.said.emit(new[0])

    def _doubts(self) -> tuple[str, ...]:
        reading = self._bench.reading
        return reading.doubts if reading is not None else ()

    def _attempt(self, make: Callable[[], Command]) -> bool:
        return self._bench.attempt(make)

    def _try(self, act: Callable[[], None]) -> None:
        try:
            act()
        except CinderlaneError as error:
            self._bench.said.emit(str(error))

    @Slot(int)
    def _frame_came(self, frame: int) -> None:
        """Do what waited for this frame; let go of an event out of sight, so that no key acts on it."""
        if self._waiting is not None and self._pane.shown == self._pane.wanted:
            (wanted, act), self._waiting = self._waiting, None
            if wanted == frame:
                act()
        run, selected = self._bench.run, self._bench.selected
        if run is None or not isinstance(selected, EventRef) or self._pane.ticker.clock.playing:
            return
        if tagging.frame_of(run, selected) not in (self._pane.wanted, None):
            self._bench.select(None)

    def _ready(self, again: Callable[[], None]) -> bool:
        """Whether the frame asked for is on show; else ``again`` is done as soon as it is."""
        if self._pane.film is None:
            self._bench.said.emit(tr("The film is not there. File, Find the film says where it lies now."))
            return False
        if self._pane.shown < 0:
            self._bench.said.emit(tr("Wait for the picture: an event is tagged on the frame that is shown."))
            return False
        if self._pane.ticker.clock.playing or self._pane.shown == self._pane.wanted:
            return True
        self._waiting = (self._pane.wanted, again)
        return False

    def _is_here(self, run: Run, ref: EventRef) -> bool:
        return tagging.frame_of(run, ref) == self._bench.frame
