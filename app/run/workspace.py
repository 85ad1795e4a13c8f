"""The Run workspace: the film, the step rail beside it, table and chart under it, the reading."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Slot
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QVBoxLayout, QWidget

from analysis.report.marks_seen import MarksSeen, marks_seen, picture_size
from analysis.report.run_scene import scene_over
from analysis.values.answers import Unsaid
from analysis.values.film import Film
from analysis.values.questions import Overruling
from analysis.values.reading import Reading
from analysis.values.run import Direction, Run
from analysis.values.words import tr
from app.actions import Actions, Scope
from app.bench import Bench
from app.charts.curves import CurveChart
from app.charts.rhythm import RhythmChart
from app.charts.speed import SpeedChart
from app.drafts.desk import DraftDesk
from app.film.pane import FilmPane
from app.film.transport import TransportBar
from app.following.desk import FollowDesk
from app.marking import placing
from app.marking.events import EventRef
from app.marking.in_hand import event_nearest
from app.marking.place_films import lost_frames
from app.narrate.narrating import Narrating
from app.rail.rail import StepRail
from app.run.desk import Desk
from app.run.evidence_zoom import EvidenceZoom
from app.run.film_export import FilmExport
from app.run.film_place import FilmPlace
from app.run.film_questions import FilmQuestions
from app.run.marks_panel import MarksPanel
from app.run.pages import Pages
from app.run.panels import Panels
from app.run.place.background_box import BackgroundBox
from app.run.place.camera_panel import CameraPanel
from app.run.place.lens_box import LensBox
from app.run.place.place_box import PlaceBox
from app.run.place.work_row import WorkRow
from app.run.posture_drawing import PostureDrawing
from app.run.posture_panel import PosturePanel
from app.run.posture_strip import PostureStripPanel
from app.run.question_bar import QuestionBar
from app.run.rail_edits import RailEdits
from app.run.run_panel import RunPanel
from app.run.scrolled import Scrolled
from app.run.second_tagging import SecondTagging
from app.run.shown import strip_events, zero_s
from app.run.step_table import StepTable
from app.run.summary import SummaryPanel
from app.run.toolbox import Toolbox, ToolColumn
from app.run.writer import Writer
from app.settings import Settings
from app.strip.beside import StripBesideRail


class RunWorkspace(QWidget):
    """Puts the widgets of one run together and keeps them in step."""

    def __init__(
        self,
        bench: Bench,
        actions: Actions,
        settings: Settings,
        writer: Writer,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._bench = bench
        self._actions = actions
        self._settings = settings
        self.pane = FilmPane(self, budget_bytes=bench.films.memory_bytes)
        self.film_place = FilmPlace(self.pane.view)
        self.question = QuestionBar(self)
        self.transport = TransportBar(actions, self)
        self.rail = StepRail(self)
        self.steps = StepTable(self)
        self.summary = SummaryPanel(self)
        self.rhythm = RhythmChart(self)
        self.speed = SpeedChart(self)
        self.posture = PosturePanel(self)
        self.curves = CurveChart(self)
        self.strip = PostureStripPanel(bench, actions, writer, self)
        self.marks = MarksPanel(bench, self)
        self.camera = CameraPanel(bench, self)
        self.following = WorkRow(self)
        self._writer = writer
        self.background = BackgroundBox(bench, self.following, self.camera)
        self.lens = LensBox(bench, actions["straight_tool"], self.camera)
        self.place = PlaceBox(bench, self.camera)
        for part in (self.lens, self.place, self.background):
            self.camera.add(part)
        self._seen = MarksSeen()
        self.facts = RunPanel(bench, actions["tag_again"], self)
        self.questions = FilmQuestions(
            bench, actions, self.facts.film, self.place, self.background, parent=self
        )
        self.tools = ToolColumn(actions, self)
        self.toolbox = Toolbox(bench, self.pane, actions, self)
        self.desk = Desk(bench, self.pane, actions, self.toolbox.face_in_hand, self)
        self.again = SecondTagging(bench, actions, self)
        self.drafts = DraftDesk(bench, actions, settings, self)
        self.desk.refuse_draft = self.drafts.refuse
        self.follow = FollowDesk(bench, actions, self)
        self.follow.hold_still = self.toolbox.placing
        self.beside = StripBesideRail(bench, self.rail, self.drafts.finder, actions, settings, self)
        self._edits = RailEdits(bench, self.rail, self.pane, self)
        self._here = True
        self._lay_out()
        self._connect()
        self._invitation = tr("Open a film: drop it here, or press {key}.").format(
            key=actions["open_film"].shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        )
        self.panels.restore(str(settings["panels"]))
        actions["numbers"].setChecked(bool(settings["numbers_over_picture"]))
        actions["force"].setChecked(bool(settings["force"]))
        self._force()
        self.pane.ticker.set_speed(float(settings["slow_speed"]))
        self._film_changed(bench.film)
        self._run_changed(bench.run)
        self._reading_changed(bench.reading)
        self._ask()

    def _lay_out(self) -> None:
        film_column = QWidget(self)
        column = QVBoxLayout(film_column)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.again.bar)
        column.addWidget(self.question)
        column.addWidget(self.following)
        column.addWidget(self.drafts.bar)
        column.addWidget(self.follow.bar)
        column.addWidget(self.pane, 1)
        column.addWidget(self.transport)
        body = Pages(
            tr("Posture"),
            ((self.posture, tr("Table")), (self.curves, tr("Curves")), (self.strip, tr("Strip"))),
            self,
        )
        self.narrating = Narrating(self._bench, self._actions, self.pane, self)
        self.panels = Panels(
            self.tools,
            film_column,
            self.beside,
            (
                (self.steps, tr("Steps")),
                (self.rhythm, tr("Rhythm")),
                (self.speed, tr("Speed")),
                (body, tr("Posture")),
                (self.narrating.panel, tr("Narration")),
            ),
            (
                (self.summary, tr("Reading")),
                (Scrolled(self.marks), tr("Marks")),
                (Scrolled(self.camera), tr("Camera")),
                (Scrolled(self.facts), tr("Run")),
            ),
            self,
        )
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.panels)

    def _connect(self) -> None:
        bench, pane = self._bench, self.pane
        self.evidence_zoom = EvidenceZoom(bench, pane, self)
        bench.film_changed.connect(self._film_changed)
        bench.run_changed.connect(self._run_changed)
        bench.reading_changed.connect(self._reading_changed)
        bench.selection_changed.connect(self._selection_changed)
        bench.go_to.connect(pane.go_to)
        bench.frame_changed.connect(self._frame_changed)
        pane.frame_shown.connect(bench.show_frame)
        pane.said.connect(bench.said)
        pane.ticker.playing_changed.connect(self.transport.set_playing)
        for asking in (self.posture, self.summary.answers):
            asking.walk_requested.connect(self.toolbox.walk_for)
        self.summary.answers.frame_requested.connect(self.evidence_zoom.look_at)
        self.summary.answers.said_otherwise.connect(self._overrule)
        self.summary.answers.facts_requested.connect(self._say_fact)
        self.toolbox.tool_taken.connect(self.follow.refresh)
        self.follow.looked_at.connect(self.toolbox.look_at)
        self.toolbox.straight_measured.connect(self.lens.measured_along)
        self.questions.changed.connect(self._ask)
        pane.ticker.speed_changed.connect(self._speed_changed)
        self.transport.speed_chosen.connect(pane.ticker.set_speed)
        views = (self.steps, self.rhythm, self.speed, self.posture, self.curves, self.strip)
        for source in (*views, self.summary):
            source.frame_requested.connect(pane.go_to)
        self._edits.settled.connect(self._again)
        pane.view.addActions(self._actions.of(Scope.PICTURE))
        for widget in (pane, self.rail, self.beside.strip, *views):
            widget.addActions(self._actions.of(Scope.FILM))
        for strip in (pane.strip, self.beside.strip):  # a click gives them the keys, Return stays the draft's
            strip.addAction(self._actions["skip_stop"])
        self._actions.do("numbers", self._numbers)
        self._actions.do("force", self._force)
        self.drawing = PostureDrawing(bench, self._actions, self._settings, self)
        self.film_export = FilmExport(bench, self._actions, self.drawing, self._writer, self)
        self.posture.chosen.connect(self.drawing.look_at)
        self.drawing.changed.connect(self._show_scene)
        self.toolbox.line_between.connect(self.drawing.line_between)
        self._actions.do("skip_stop", self._confirm_draft)
        self.beside.strip.frame_requested.connect(pane.go_to)
        self.beside.strip.footfall_taken.connect(self._footfall_taken)
        self.beside.resized.connect(self.panels.divide)
        self.rail.draft_confirmed.connect(self.drafts.confirm)
        self.drafts.asked_for.connect(self._free_hands)

    @Slot(object)
    def _overrule(self, coach: Overruling | None) -> None:
        run = self._bench.run
        if run is not None:
            words = tr("The coach's own reading")
            self._bench.attempt(lambda: placing.change_run(run, replace(run, overruled=coach), words))

    @Slot(object)
    def _say_fact(self, fact: Unsaid) -> None:
        self.panels.show_panel(self.facts)
        self.facts.field_of(fact).setFocus()

    def dress(self) -> None:
        """Play or pause, in the colours of the theme."""
        self.transport.set_playing(self.pane.ticker.clock.playing)

    def enter(self) -> None:
        """Show the run at hand, on the frame that was on show elsewhere."""
        self._here = True
        frame = self._bench.frame
        self.desk.work_on(self.pane)
        self.toolbox.work_on(self.pane)
        self.narrating.enter()
        self._film_changed(self._bench.film)
        self.pane.go_to(frame)
        self.pane.view.setFocus()
        self._reading_changed(self._bench.reading)

    def leave(self) -> None:
        """Let go of the film: another workspace shows it."""
        self._here = False
        self.narrating.leave()
        if self.pane.film is not None:
            self._bench.show_frame(self.pane.wanted)  # its picture may still be on its way
        self.pane.expect(None)
        self.pane.set_film(None)

    def shutdown(self) -> None:
        """Stop the film, keep how the window is divided; nothing is shown any more."""
        self.narrating.stage.shutdown()
        self._settings["panels"] = self.panels.state()
        self.pane.shutdown()
        self.drafts.finder.shutdown()
        self.follow.shutdown()
        self.toolbox.shutdown()
        self.facts.film.shutdown()
        self.strip.shutdown()
        for work in (self.following, self.lens.work, self.place.work):
            work.shutdown()

    @Slot(object)
    def _film_changed(self, film: Film | None) -> None:
        if not self._here:
            return
        self.pane.set_film(film)
        self.desk.forget()
        waiting = self._bench.film_state.order is not None
        self.pane.view.set_empty("" if waiting else self._bench.trouble or self._invitation)
        if film is not None:
            run = self._bench.run
            self._cover_run()
            self.pane.go_to(run.first_frame if run is not None else 0)

    @Slot()
    def _ask(self) -> None:
        self.question.ask(self.questions.now)

    @Slot(str)
    def show_refusal(self, sentence: str) -> None:
        """Where nothing is on show, why a file was not opened stays in its place."""
        if self._bench.film is None and not self._bench.trouble:
            self.pane.view.set_empty(f"{sentence}\n\n{self._invitation}")

    @Slot(str)
    def show_opening(self, name: str) -> None:
        """A film of this name is being read, in the place where it will stand; empty for none."""
        self.film_place.show_film(name)

    @Slot(object)
    def expect(self, film: Film | None) -> None:
        """Begin to read a film that will be on the bench in a moment. None: it will not come after all."""
        if self._here:
            self.pane.expect(film)

    @Slot(object)
    def _run_changed(self, run: Run | None) -> None:
        bench = self._bench
        known = picture_size(bench.facts)
        self._seen = MarksSeen() if run is None else marks_seen(bench.project, run, known)
        self.pane.strip.set_lost(lost_frames(self._seen.path))
        self._actions["run_left"].setChecked(run is not None and run.direction is Direction.LEFT)
        if run is None or self._bench.facts is None:
            self.rail.clear()
        self.pane.strip.set_events(*strip_events(run if self._bench.facts is not None else None))
        self._cover_run()
        self._show_place()

    def _cover_run(self) -> None:
        run = self._bench.run
        if run is not None:
            self.pane.cover(run.first_frame, run.last_frame)

    @Slot(object)
    def _reading_changed(self, reading: Reading | None) -> None:
        run, facts = self._bench.run, self._bench.facts
        if run is not None and facts is not None:
            self.rail.show_run(run, facts.times, reading)
            self.rail.set_frame(self._bench.frame)
        self.steps.show_reading(reading)
        self.summary.show_reading(run, reading, self._bench.project.athlete_of(run))
        self.rhythm.show_reading(reading)
        self.posture.show_reading(reading)
        times = facts.times if facts is not None else None
        for chart in (self.speed, self.curves):
            chart.show_reading(reading, times, zero_s(run, self._bench.film))
        self.strip.show_reading()
        self._frame_changed(self._bench.frame)

    @Slot(int)
    def _frame_changed(self, frame: int) -> None:
        if not self._here:
            return
        # where the film is going: a key pressed on the rail counts from there
        self.rail.set_frame(self.pane.wanted if self.pane.film is not None else frame)
        self.beside.strip.set_frame(self.rail.value())
        self.steps.set_frame(frame)
        self.summary.set_frame(frame)
        self.rhythm.set_frame(frame)
        self.speed.set_frame(frame)
        self.curves.set_frame(frame)
        self.strip.set_frame(frame)
        self._show_scene()
        self._show_place()

    @Slot(object)
    def _selection_changed(self, selected: object) -> None:
        if isinstance(selected, EventRef):
            self.rail.select(selected.footfall_id, selected.which)
        self._show_scene()
        self._show_place()

    @Slot()
    def _show_scene(self) -> None:
        bench, numbers = self._bench, self._actions["numbers"].isChecked()
        shown = scene_over(
            bench.run,
            bench.reading,
            bench.frame,
            numbers=numbers,
            marks=self._seen,
            tracks=bench.tracks,
            drawn=self.drawing.drawn,
        )
        self.pane.view.set_scene(shown, bench.selected)

    def _show_place(self) -> None:
        run, film = self._bench.run, self._bench.film
        frame = self._bench.frame
        shown = film if film is not None and frame < film.frames else None
        self.transport.set_place(shown, frame, zero_s(run, film), self.pane.late)
        self.transport.set_next_foot(self.desk.next_side)

    @Slot()
    def _confirm_draft(self) -> None:
        if not self.toolbox.in_hand.placing:
            self.drafts.confirm()

    @Slot(str, int)
    def _footfall_taken(self, footfall_id: str, frame: int) -> None:
        if self._bench.run is not None:
            self._bench.select(event_nearest(self._bench.run, footfall_id, frame))

    @Slot()
    def _free_hands(self) -> None:
        if self.toolbox.in_hand.placing:
            self.toolbox.take("select_tool")

    @Slot()
    def _again(self) -> None:
        self._reading_changed(self._bench.reading)

    @Slot(float)
    def _speed_changed(self, share: float) -> None:
        self.transport.set_speed(share)
        if share < 1.0:
            self._settings["slow_speed"] = share

    @Slot()
    def _force(self) -> None:
        wanted = self._actions["force"].isChecked()
        self._settings["force"] = wanted
        self.summary.show_force(wanted)

    @Slot()
    def _numbers(self) -> None:
        self._settings["numbers_over_picture"] = self._actions["numbers"].isChecked()
        self._show_scene()
