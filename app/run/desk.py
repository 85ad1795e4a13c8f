"""What the keys do on the pane in hand: film, events, and what is selected."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QObject, Slot
from PySide6.QtGui import QKeySequence

from analysis.report.body import FOLLOWED_PART, whole_scene
from analysis.report.marks_seen import MarksSeen, marks_seen, picture_size
from analysis.report.scene import Handle
from analysis.values.command import Command
from analysis.values.face_cover import FaceCover
from analysis.values.project import Project
from analysis.values.run import Direction, Run, Side
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.film.pane import FilmPane
from app.film.tools.select import moved_to
from app.marking import events as tagging
from app.marking import faces, placing
from app.marking.events import EventRef
from app.run.event_keys import EventKeys
from app.run.film_keys import FilmKeys
from app.run.when_shown import WhenShown
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
        self._bench = bench
        self._pane = pane
        self._actions = actions
        self._face_in_hand = face_in_hand
        self.refuse_draft: Callable[[], bool] | None = None
        self._when_shown = WhenShown(bench, pane, self)
        self._film_keys = FilmKeys(bench, pane, actions, self)
        self._event_keys = EventKeys(bench, pane, self._when_shown, actions, self)
        for name, act in {
            "delete": self._delete,
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
        }.items():
            actions.do(name, act)
        self._run_id = ""
        bench.run_changed.connect(self._run_came)

    @property
    def pane(self) -> FilmPane:
        """The pane in hand."""
        return self._pane

    def work_on(self, pane: FilmPane) -> None:
        """Take another pane in hand; the run at hand on the bench is the one that it shows."""
        if pane is not self._pane:
            self._pane = pane
            for keys in (self._when_shown, self._film_keys, self._event_keys):
                keys.work_on(pane)
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
        for keys in (self._when_shown, self._film_keys, self._event_keys):
            keys.forget()

    @property
    def next_side(self) -> Side | None:
        """The foot that the next touchdown is tagged for; None where no run is open."""
        return self._event_keys.next_side

    # what is selected

    @Slot()
    def _delete(self) -> None:
        run, selected = self._bench.run, self._bench.selected
        if self.refuse_draft is not None and self.refuse_draft():
            return
        if run is None or selected is None:
            self._bench.said.emit(tr("Select an event or something on the picture first."))
            return
        if isinstance(selected, EventRef):
            done = self._bench.attempt(lambda: tagging.delete_event(run, selected))
        elif selected.end == FOLLOWED_PART:
            self._bench.said.emit(
                tr("This point was followed, not placed. Drag it, or delete the placed ones on their frames.")
            )
            return
        else:
            done = self._bench.attempt(lambda: placing.delete_part(run, selected.kind, selected.id))
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
        if cover is not None and self._when_shown.ready(partial(self._face, make)):
            self._bench.attempt(lambda: make(self._bench.project, cover, int(self._bench.frame)))

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
            self._bench.attempt(lambda: moved_to(run, held, held.u + across, held.v + dv, frame))

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
            self._bench.attempt(lambda: placing.change_run(run, replace(run, direction=direction), text))
        # the tick comes from the run, also where the edit was refused
        now = self._bench.run
        self._actions["run_left"].setChecked(now is not None and now.direction is Direction.LEFT)

    @Slot()
    def _undo(self) -> None:
        self._bench.try_to(self._bench.undo)

    @Slot()
    def _redo(self) -> None:
        self._bench.try_to(self._bench.redo)
