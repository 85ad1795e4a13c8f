"""A film of a drill at work: the film with its tools, the reps under it, the numbers beside it."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from analysis.report.drill_scene import with_implement
from analysis.report.marks_seen import MarksSeen, marks_seen, picture_size
from analysis.report.run_scene import scene_over
from analysis.values.drill_film import DrillFilm, DrillKind
from analysis.values.errors import PlanError
from analysis.values.film import Film
from analysis.values.run import Direction, Run
from analysis.values.typed import typed_number
from analysis.values.words import capital, tr
from app.actions import Actions, Scope
from app.bench import Bench
from app.film.pane import FilmPane
from app.film.transport import TransportBar, tool_button
from app.marking import drilling, placing, planning
from app.plan.drill_films.keys import DrillKeys
from app.plan.drill_films.measures_view import MeasuresView
from app.plan.drill_films.readings import DrillReadings
from app.plan.drill_films.rep_row import RepRowView
from app.plan.drill_films.reps_table import RepsTable
from app.run.desk import Desk
from app.run.film_questions import FilmQuestions
from app.run.marks_panel import MarksPanel
from app.run.question_bar import QuestionBar
from app.run.scrolled import Scrolled
from app.run.toolbox import Toolbox, ToolColumn
from app.theme.tokens import Space

_BUTTONS = ("cut_rep", "tag_set", "tag_push_off", "tag_release", "tag_landing", "rep_tool", "implement_tool")


class DrillFilmPage(QWidget):
    """Shows one film of a drill, which is then the run at hand on the bench, so that keys, tools and edits go
    there as anywhere.

    Signals: left(): the coach goes back to the day.
    """

    left = Signal()

    def __init__(
        self,
        bench: Bench,
        actions: Actions,
        desk: Desk,
        toolbox: Toolbox,
        questions: FilmQuestions,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._bench, self._actions = bench, actions
        self._desk, self._toolbox, self._questions = desk, toolbox, questions
        self._open = False
        self._seen = MarksSeen()
        self.readings = DrillReadings(bench)
        self.pane = FilmPane(self, budget_bytes=bench.films.memory_bytes)
        self.question = QuestionBar(self)
        self.transport = TransportBar(actions, self)
        self.keys = DrillKeys(bench, self.pane, actions, self)
        self.row = RepRowView(bench, self)
        self.reps = RepsTable(self)
        self.measures = MeasuresView(self)
        self.marks = MarksPanel(bench, self)
        self.title = QLabel(self)
        self.title.setProperty("role", "heading")
        self.kind = QComboBox(self)
        self.kind.setAccessibleName(tr("What the film is read for"))
        for kind, words in drilling.KIND_WORDS.items():
            self.kind.addItem(capital(words), kind)
        self.load = QLineEdit(self)
        self.load.setAccessibleName(tr("Load in kg"))
        self.load.setPlaceholderText(tr("load, kg"))
        self.load.setMaximumWidth(110)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setContentsMargins(Space.BASE, Space.TIGHT, Space.BASE, Space.TIGHT)
        top.setSpacing(Space.BASE)
        for part in (self._button("leave_drill_film"), self.title):
            top.addWidget(part)
        top.addStretch(1)
        top.addWidget(self.load)
        top.addWidget(self.kind)
        keys = QHBoxLayout()
        keys.setContentsMargins(Space.BASE, 0, Space.BASE, 0)
        keys.setSpacing(Space.TIGHT)
        for name in _BUTTONS:
            keys.addWidget(self._button(name))
        keys.addStretch(1)
        film = QWidget(self)
        column = QVBoxLayout(film)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.HAIR)
        column.addWidget(self.question)
        column.addWidget(self.pane, 1)
        column.addLayout(keys)
        column.addWidget(self.transport)
        down = QSplitter(Qt.Orientation.Vertical, self)
        for place, part in enumerate((film, self.row)):
            down.addWidget(part)
            down.setStretchFactor(place, 2 if place == 0 else 1)
        down.setChildrenCollapsible(False)
        down.setSizes([460, 220])
        self.beside = QTabWidget(self)
        self.beside.setDocumentMode(True)
        self.beside.setAccessibleName(tr("Reps, measures and marks"))
        for part, words in (
            (self.reps, tr("Reps")),
            (self.measures, tr("Measures")),
            (Scrolled(self.marks), tr("Marks")),
        ):
            self.beside.addTab(part, words)
        across = QSplitter(Qt.Orientation.Horizontal, self)
        for place, part in enumerate((down, self.beside)):
            across.addWidget(part)
            across.setStretchFactor(place, int(place == 0))
        across.setChildrenCollapsible(False)
        across.setSizes([810, 450])
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(1)
        self.tools = ToolColumn(self._actions, self)
        row.addWidget(self.tools)
        row.addWidget(across, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(Space.HAIR)
        whole.addLayout(top)
        whole.addLayout(row, 1)

    def _button(self, name: str) -> QWidget:
        button = tool_button(self._actions, name, self)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        return button

    def _connect(self) -> None:
        bench, pane, actions = self._bench, self.pane, self._actions
        bench.film_changed.connect(self._film_changed)
        bench.run_changed.connect(self._run_changed)
        bench.selection_changed.connect(self._show_scene)
        bench.go_to.connect(pane.go_to)
        bench.frame_changed.connect(self._frame_changed)
        pane.frame_shown.connect(self._frame_shown)
        pane.said.connect(bench.said)
        pane.ticker.playing_changed.connect(self.transport.set_playing)
        pane.ticker.speed_changed.connect(self.transport.set_speed)
        self.transport.speed_chosen.connect(pane.ticker.set_speed)
        self._questions.changed.connect(self._ask)
        pane.view.addActions(actions.of(Scope.PICTURE))
        for widget in (pane, self.row):
            widget.addActions(actions.of(Scope.FILM))
        actions.do("leave_drill_film", self._leave)
        self.kind.activated.connect(self._kind_chosen)
        self.load.editingFinished.connect(self._load_typed)
        self.reps.changed.connect(self._typed)
        self.reps.removed.connect(self._removed)
        for source in (self.reps, self.row):
            source.frame_requested.connect(pane.go_to)
        actions["leave_drill_film"].setEnabled(False)

    # coming and going

    @property
    def film(self) -> DrillFilm | None:
        """The film of a drill on show."""
        return drilling.film_of_run(self._bench.project, self._bench.run) if self._open else None

    def open_film(self, film: DrillFilm) -> None:
        """Bring a film of a drill to hand."""
        self._open = True
        self._actions.enable_of_film(enabled=True)
        self._actions["leave_drill_film"].setEnabled(True)
        self.keys.enable(on=True)
        self._desk.work_on(self.pane)
        self._toolbox.work_on(self.pane)
        begin = min((int(rep.first) for rep in film.reps), default=0)
        self._bench.choose_run(film.run_id)
        self._film_changed(self._bench.film)
        self.pane.go_to(begin)
        self._run_changed()
        self._ask()
        self.pane.view.setFocus()

    def close_film(self) -> None:
        """Let go of the film; nothing of it is shown any more."""
        if not self._open:
            return
        self._open = False
        self._toolbox.take("select_tool")
        self.keys.enable(on=False)
        self._actions["leave_drill_film"].setEnabled(False)
        self._actions.enable_of_film(enabled=False)
        self.pane.set_film(None)
        self.row.show_reading(None, None)

    def shutdown(self) -> None:
        """Stop what goes on."""
        self.pane.shutdown()
        self.row.shutdown()

    @Slot()
    def _leave(self) -> None:
        self.left.emit()

    # what is shown

    @Slot(object)
    def _film_changed(self, film: Film | None) -> None:
        if not self._open:
            return
        if self.pane.film is not film:
            self.pane.set_film(film)
        self.pane.view.set_empty(self._bench.trouble)

    @Slot()
    def _ask(self) -> None:
        if self._open:
            self.question.ask(self._questions.now)

    @Slot()
    def _run_changed(self) -> None:
        film, run = self.film, self._bench.run
        if not self._open:
            return
        if film is None or run is None:  # it went with an undo, or was removed elsewhere
            self.left.emit()
            return
        self._seen = marks_seen(self._bench.project, run, picture_size(self._bench.facts))
        self._actions["run_left"].setChecked(run.direction is Direction.LEFT)
        self._show_head(film, run)
        self.pane.strip.set_events((), tuple(drilling.event_frames(film)))
        self.reps.show_film(film, int(self._bench.frame))
        self.measures.show_readings(self.readings.of(film))
        self.row.show_reading(self._bench.evidence, self.readings.one(film))
        self._frame_changed(int(self._bench.frame))

    def _show_head(self, film: DrillFilm, run: Run) -> None:
        project = self._bench.project
        drill = planning.drills_of(project).get(film.drill_id)
        day, athlete = project.days.get(film.day_id), project.athlete_of(run)
        parts = [run.name if drill is None else drill.name, "" if day is None else day.date]
        self.title.setText(" · ".join(p for p in (*parts, "" if athlete is None else athlete.code) if p))
        self.kind.setCurrentIndex(self.kind.findData(film.kind))
        self.load.setVisible(film.kind is DrillKind.RUN)
        load = run.conditions.load_kg
        self.load.setText("" if load is None else f"{load:g}")

    @Slot(int)
    def _frame_shown(self, frame: int) -> None:
        if self._open:
            self._bench.show_frame(frame)

    @Slot(int)
    def _frame_changed(self, frame: int) -> None:
        if not self._open:
            return
        self.reps.set_frame(frame)
        self.row.set_frame(frame)
        film = self._bench.film
        shown = film if film is not None and frame < film.frames else None
        self.transport.set_place(shown, frame, self._zero_s(frame), self.pane.late)
        self._show_scene()

    def _zero_s(self, frame: int) -> float:
        """Time counts from where the rep begins."""
        film, facts = self.film, self._bench.facts
        rep = None if film is None else film.rep_at(frame)
        return 0.0 if rep is None or facts is None else facts.times.at(rep.first)

    @Slot()
    def _show_scene(self) -> None:
        bench, film, run = self._bench, self.film, self._bench.run
        if film is None or run is None:
            return
        frame, numbers = int(bench.frame), self._actions["numbers"].isChecked()
        scene = scene_over(run, bench.reading, frame, numbers=numbers, marks=self._seen, tracks=bench.tracks)
        self.pane.view.set_scene(with_implement(scene, run, frame, film.rep_at(frame)), bench.selected)

    # what the coach does

    @Slot(int)
    def _kind_chosen(self, place: int) -> None:
        film = self.film
        if film is not None:
            new = replace(film, kind=DrillKind(self.kind.itemData(place)))
            self._bench.attempt(lambda: drilling.change_film(film, new, tr("What the film is read for")))

    @Slot()
    def _load_typed(self) -> None:
        run = self._bench.run
        if self.film is None or run is None:
            return
        text = self.load.text().strip()
        kg = typed_number(text, "kg") if text else None
        if kg is not None and not -200 <= kg <= 500:
            self._bench.said.emit(str(PlanError(tr("Write the load in kg; negative where it helps."))))
            self._run_changed()
            return
        told = replace(run, conditions=replace(run.conditions, load_kg=kg))
        self._bench.attempt(lambda: placing.change_run(run, told, tr("Load")))

    @Slot(str, str, str)
    def _typed(self, rep_id: str, field: str, text: str) -> None:
        film = self.film
        if film is not None and not self._bench.attempt(
            lambda: drilling.set_rep_field(film, rep_id, field, text)
        ):
            self._run_changed()  # what was typed does not stand

    @Slot(str)
    def _removed(self, rep_id: str) -> None:
        film = self.film
        if film is not None:
            self._bench.attempt(lambda: drilling.remove_rep(film, rep_id))
