"""The Compare workspace: two films over each other under one clock, their step rails on one axis."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QTabWidget, QVBoxLayout, QWidget

from analysis.film.reader import BUDGET_BYTES
from analysis.values.run import Run
from analysis.values.words import tr
from app.actions import COMPARE, Actions, Scope
from app.bench import Bench
from app.compare.choices import Choice, Choices
from app.compare.coming import ComingFilms
from app.compare.differences import Differences
from app.compare.lock_bar import LockBar
from app.compare.lock_keys import LockKeys
from app.compare.pairing import Pairing
from app.compare.rails import RailPair
from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.compare.twin_views import TwinViews
from app.film.clock import Clock
from app.film.ticker import Ticker
from app.film.transport import TransportBar
from app.marking.events import EventRef
from app.run.desk import Desk
from app.run.film_questions import FilmQuestions
from app.run.posture_drawing import PostureDrawing
from app.run.question_bar import Question
from app.run.rail_edits import RailEdits
from app.run.shown import zero_s
from app.run.toolbox import Toolbox, ToolColumn
from app.settings import Settings
from app.theme.tokens import Space

FILM_SHARE = 0.45
"""With less than this of the width left for the films, one rail has to do."""


class CompareWorkspace(QWidget):
    """Puts two sides together. The side in hand is the run at hand on the bench: keys, tools and edits go
    there, through the same desk and the same tools as anywhere; questions of its film are asked over it.

    Attributes: ``coming`` shows which films are being read.
    """

    def __init__(
        self,
        bench: Bench,
        actions: Actions,
        settings: Settings,
        desk: Desk,
        toolbox: Toolbox,
        questions: FilmQuestions,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._bench, self._actions, self._settings = bench, actions, settings
        self._desk, self._toolbox, self._questions = desk, toolbox, questions
        self._here = False
        self.ticker = Ticker(Clock(), self)
        one, two = (CompareSide(self.ticker, BUDGET_BYTES // 2, self) for _ in range(2))
        self._sides = TwoSides(one, two)
        self._run_ids = {self.upper_side: "", self.lower_side: ""}
        self.bar = LockBar(actions, self)
        self.transport = TransportBar(actions, self)
        self._choices = Choices(settings)
        self.pairing = Pairing(self.ticker, self.upper_side, self.lower_side, self._choices, self)
        self._keys = LockKeys(self._sides, self.pairing, self.bar, actions, self)
        self.coming = ComingFilms(self._sides, bench.films, self)
        self._twins = TwinViews(self.upper_side.pane.view, self.lower_side.pane.view, self)
        self._edits = [RailEdits(bench, side.rail, side.pane, self) for side in self._sides]
        self._lay_out()
        self._connect()
        self._name_sides()
        self._show_scale()
        self.ticker.set_speed(float(settings["slow_speed"]))
        self._enable(False)

    def _lay_out(self) -> None:
        self._films = QSplitter(Qt.Orientation.Vertical, self)
        for side in self._sides:
            self._films.addWidget(side)
            self._films.setStretchFactor(self._films.indexOf(side), 1)
        self._films.setChildrenCollapsible(False)
        films = QWidget(self)
        column = QVBoxLayout(films)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._films, 1)
        column.addWidget(self.transport)
        self.rails = RailPair(self.upper_side, self.lower_side, self)
        self.differences = Differences(self)
        self.beside = QTabWidget(self)
        self.beside.setDocumentMode(True)
        self.beside.setAccessibleName(tr("Rails and differences"))
        self.beside.addTab(self.rails, tr("Rails"))
        self.beside.addTab(self.differences, tr("Differences"))
        across = self._across = QSplitter(Qt.Orientation.Horizontal, self)
        for place, part in enumerate((films, self.beside)):
            across.addWidget(part)
            across.setStretchFactor(place, int(place == 0))
        across.setChildrenCollapsible(False)
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(1)
        self._tools = ToolColumn(self._actions, self)
        row.addWidget(self._tools)
        row.addWidget(across, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(Space.HAIR)
        whole.addWidget(self.bar)
        whole.addLayout(row, 1)

    def _connect(self) -> None:
        bench, actions = self._bench, self._actions
        bench.run_changed.connect(self._run_changed)
        bench.film_came.connect(self._film_came)
        bench.runs_changed.connect(self._runs_changed)
        bench.selection_changed.connect(self._selection_changed)
        bench.go_to.connect(self._go_to)
        self._questions.changed.connect(self._ask)
        for side in self._sides:
            side.taken.connect(self._taken)
            side.run_chosen.connect(self._run_chosen)
            side.mirror.clicked.connect(self.pairing.keep)
            side.pane.frame_shown.connect(self._frame_shown)
            side.pane.said.connect(bench.said)
            side.pane.view.addActions(actions.of(Scope.PICTURE))
            for widget in (side.pane, side.rail):
                widget.addActions(actions.of(Scope.FILM))
        for edits in self._edits:
            edits.settled.connect(self._settled)
        self.pairing.laid.connect(self._show_scale)
        self.beside.currentChanged.connect(self._page_turned)
        self.differences.step_requested.connect(self._to_step)
        self._keys.said.connect(bench.said)
        self.ticker.playing_changed.connect(self.transport.set_playing)
        self.ticker.speed_changed.connect(self._speed_changed)
        self.transport.speed_chosen.connect(self.ticker.set_speed)
        actions["numbers"].toggled.connect(self._numbers)
        for name, act in {
            "other_film": self._other_film,
            "swap_films": self._swap,
            "same_scale": self._same_scale,
            "mirror": self._mirror,
            "show_differences": self._turn_page,
        }.items():
            actions.do(name, act)

    def _show_differences(self) -> None:
        if self.beside.currentWidget() is self.differences:
            self.differences.show_looks(self.upper_side.look, self.lower_side.look)

    @Slot()
    def _page_turned(self) -> None:
        self._show_differences()
        self._divide()

    @Slot(int)
    def _to_step(self, step: int) -> None:
        look = self.active.look
        run = None if look is None else look.run
        if look is None or run is None or look.reading is None:
            return
        found = next((one.touchdown for one in look.reading.steps if one.step == step), None)
        frame = run.start.front_toe_off if step == 0 else found
        if frame is not None:
            self.active.pane.go_to(int(frame))

    @Slot()
    def _turn_page(self) -> None:
        pages = self.beside
        pages.setCurrentIndex((pages.currentIndex() + 1) % pages.count())

    # how it is divided

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out the new width."""
        super().resizeEvent(event)
        self._divide()

    def changeEvent(self, event: QEvent) -> None:
        """Other text needs other widths."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange and hasattr(self, "_across"):
            self._divide()

    def _divide(self) -> None:
        """Both rails, or all columns of the differences, where the films keep their share beside them."""
        room = self.width() - self._tools.minimumSizeHint().width()
        both = self.rails.least_width()
        has_room = room - both >= FILM_SHARE * room
        self.rails.show_of(self.active, both=has_room)
        beside = both if has_room else self.rails.minimumSizeHint().width()
        if self.beside.currentWidget() is self.differences:
            beside = max(beside, min(self.differences.sizeHint().width(), int(room * (1 - FILM_SHARE))))
        self._across.setSizes([max(1, room - beside), beside])

    # coming and going

    def enter(self) -> None:
        """Show the run at hand beside the one that it was last compared with, else beside another."""
        self._here = True
        self._enable(True)
        frame = int(self._bench.frame)
        self._desk.work_on(self.active.pane)
        self._toolbox.work_on(self.active.pane)
        self.active.pane.view.setFocus()
        self._numbers()
        self._runs_changed()
        run, ids = self._bench.run, self._run_ids
        if run is not None and run.id not in ids.values() and self._last_with(run, self._runs()) is not None:
            ids[self.other] = ""  # the one that it was last compared with comes
        for side in self._sides:
            side.set_active(side is self.active)
        self._run_changed(self._bench.run)
        self._ask()
        self.active.pane.go_to(frame)

    def leave(self) -> None:
        """Let go of both films; what was chosen stays."""
        self._here = False
        self._enable(False)
        self.ticker.pause()
        if self.active.pane.film is not None:
            self._bench.show_frame(self.active.pane.wanted)  # its picture may still be on its way
        for side in self._sides:
            side.let_go()

    def shutdown(self) -> None:
        """Stop the clock and both readers."""
        self.ticker.shutdown()
        for side in self._sides:
            side.pane.shutdown()

    def dress(self) -> None:
        """Icons in the colours of the theme."""
        for side in self._sides:
            side.dress()
        if self._here:
            self.transport.set_playing(self.ticker.clock.playing)

    def _enable(self, here: bool) -> None:
        for action in self._actions.menu(COMPARE):
            action.setEnabled(here)

    @property
    def upper_side(self) -> CompareSide:
        """The side above."""
        return self._sides.upper

    @property
    def lower_side(self) -> CompareSide:
        """The side below."""
        return self._sides.lower

    @property
    def active(self) -> CompareSide:
        """The side in hand."""
        return self._sides.in_hand

    @property
    def other(self) -> CompareSide:
        """The side that is not in hand."""
        return self._sides.other

    def turn_to(self, side: CompareSide) -> None:
        """Take a side in hand; its run comes to hand on the bench, and both films stay where they are."""
        if side is self.active:
            return
        self.active.set_active(False)
        self._sides.in_hand = side
        side.set_active(True)
        self._divide()
        self._desk.work_on(side.pane)
        self._toolbox.work_on(side.pane)
        self.other.question.ask(Question())
        self._ask()
        bench, run_id = self._bench, self._run_ids[side]
        frame = side.frame
        if run_id and (bench.run is None or bench.run.id != run_id):
            bench.choose_run(run_id, at=frame)
        else:
            bench.select(None)
            bench.show_frame(frame)
        self._show_place()

    # what is on the bench

    @Slot()
    def _runs_changed(self) -> None:
        if self._here:
            for side in self._sides:
                side.fill(self._runs())

    @Slot()
    def _film_came(self) -> None:
        if self._here:
            self._run_changed(self._bench.run)
            self.ticker.seek(self.ticker.clock.time_s)  # a film that came hears where the clock stands

    @Slot(object)
    def _run_changed(self, run: Run | None) -> None:
        if not self._here:
            return
        ids, runs = self._run_ids, self._runs()
        known = {each.id for each in runs}
        for side in ids:
            if ids[side] not in known:
                ids[side] = ""
        if run is not None and ids[self.active] != run.id:
            if ids[self.other] == run.id and ids[self.active]:
                self._hand_over()
            else:
                self._choose(self.active, run.id)
        if not ids[self.other] and run is not None:
            self._find_partner(run, runs)
        self._show()

    def _find_partner(self, run: Run, runs: list[Run]) -> None:
        """The run that this one was last compared with, as they lay then; else the next one."""
        last = self._last_with(run, runs)
        self._choose(self.other, _partner(runs, run.id) if last is None else last.other(run.id))
        if last is not None and (last.upper.run_id == run.id) != (self.active is self.upper_side):
            self._swap()

    def _last_with(self, run: Run, runs: list[Run]) -> Choice | None:
        return self._choices.last_with(run.id, {each.id for each in runs})

    def _hand_over(self) -> None:
        """The bench went to the other run by itself, as undoing does."""
        self.turn_to(self.other)

    def _choose(self, side: CompareSide, run_id: str) -> None:
        if self._run_ids[side] != run_id:
            self._run_ids[side] = run_id
            side.set_slip(0.0, 0)
            side.mirror.setChecked(False)

    def _show(self) -> None:
        for side, run_id in self._run_ids.items():
            side.show_look(self._bench.look(run_id, side.look))
        self._show_lanes()
        self.pairing.lay(self.active)
        self._show_differences()
        self._show_place()
        self.coming.show_all()

    @Slot()
    def _ask(self) -> None:
        if self._here:
            self.active.question.ask(self._questions.now)

    def _show_lanes(self) -> None:
        upper, lower = ((side.look, side.frame) for side in self._sides)
        self._twins.show(upper, lower)

    @Slot()
    def _settled(self) -> None:
        for side in self._sides:
            side.look = None  # the rail shows the run as it stands, also where the drop was refused
        self._show()

    @Slot(object)
    def _selection_changed(self, selected: object) -> None:
        if not self._here:
            return
        if isinstance(selected, EventRef):
            self.active.rail.select(selected.footfall_id, selected.which)
        self.active.select(self._bench.selected)
        self._show_place()

    @Slot(int)
    def _go_to(self, frame: int) -> None:
        if self._here:
            self.active.pane.go_to(frame)

    @Slot()
    def _frame_shown(self) -> None:
        if self._here:
            self._show_lanes()  # where a camera turned, they lie elsewhere now
        if self._here and self.active.pane.shown >= 0:
            self._bench.show_frame(self.active.pane.shown)
            self._show_place()

    def _show_place(self) -> None:
        look, frame = self.active.look, self._bench.frame
        film = look.film if look is not None else None
        shown = film if film is not None and frame < film.frames else None
        zero = zero_s(look.run if look is not None else None, film)
        late = max(side.pane.late for side in self._sides)
        self.transport.set_place(shown, frame, zero, late)
        self.transport.set_next_foot(self._desk.next_side)

    # what the coach does

    @Slot()
    def _taken(self) -> None:
        side = self.sender()
        if self._here and isinstance(side, CompareSide):
            self.turn_to(side)

    @Slot(str)
    def _run_chosen(self, run_id: str) -> None:
        side = self.sender()
        if isinstance(side, CompareSide) and run_id in self._bench.project.runs:
            self.turn_to(side)
            self._choose(side, run_id)
            self._bench.choose_run(run_id, at=0)
            self.ticker.seek(self.ticker.clock.time_s)
            self._frame_shown()

    @Slot()
    def _other_film(self) -> None:
        self.turn_to(self.other)
        self.active.pane.view.setFocus()

    @Slot()
    def _swap(self) -> None:
        self._sides.swap()
        self._films.insertWidget(0, self.upper_side)
        self.rails.swap()
        self._twins.swap()
        self.pairing.swap(self.active)
        self._name_sides()
        self._show_differences()

    def _name_sides(self) -> None:
        self.upper_side.name(tr("Upper film"))
        self.lower_side.name(tr("Lower film"))

    @Slot()
    def _mirror(self) -> None:
        self.active.mirror.toggle()
        self.pairing.keep()

    @Slot()
    def _same_scale(self) -> None:
        wanted = self.pairing.same_scale = self._actions["same_scale"].isChecked()
        self.pairing.keep()
        self._twins.want(wanted)
        if wanted and not self._twins.linked:
            self._bench.said.emit(tr("Mark the same stretch of the lane in both runs to show one scale."))

    @Slot()
    def _show_scale(self) -> None:
        self._actions["same_scale"].setChecked(self.pairing.same_scale)
        self._twins.want(self.pairing.same_scale)

    def draw_as(self, drawing: PostureDrawing) -> None:
        """Have posture lie over both pictures as it does over the one of a single run."""
        self._drawing = drawing
        drawing.changed.connect(self._draw)
        self._draw()

    @Slot()
    def _draw(self) -> None:
        # chosen frames and the measure in hand are those of one run
        drawn = replace(self._drawing.drawn, frames=frozenset(), focus=None)
        for side in self._sides:
            side.set_drawn(drawn)

    @Slot()
    def _numbers(self) -> None:
        for side in self._sides:
            side.set_numbers(self._actions["numbers"].isChecked())

    @Slot(float)
    def _speed_changed(self, share: float) -> None:
        self.transport.set_speed(share)
        if share < 1.0:
            self._settings["slow_speed"] = share

    def _runs(self) -> list[Run]:
        """Those that can be laid side by side: a second tagging is held against its own run only."""
        at_hand, known = self._bench.run, self._bench.project.runs.values()
        return sorted((run for run in known if run.retags is None or run is at_hand), key=_by_name)


def _by_name(run: Run) -> str:
    return run.name


def _partner(runs: list[Run], run_id: str) -> str:
    """The next run by name, round to the first; the run itself where it is the only one."""
    ids = [run.id for run in runs]
    return ids[(ids.index(run_id) + 1) % len(ids)]
