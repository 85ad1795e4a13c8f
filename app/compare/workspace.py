"""The Compare workspace: two films over each other under one clock, their step rails on one axis."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from analysis.values.run import Run
from analysis.values.words import tr
from app.actions import COMPARE, Actions, Scope
from app.bench import Bench
from app.compare.body_over import BodiesOver
from app.compare.choices import Choices
from app.compare.chosen_runs import ChosenRuns
from app.compare.coming import ComingFilms
from app.compare.frame import CompareFrame
from app.compare.lock_keys import LockKeys
from app.compare.pairing import Pairing
from app.compare.pictures import TwoPictures
from app.compare.side import CompareSide
from app.compare.two_films import TwoFilms
from app.marking.events import EventRef
from app.narrate.desk import NarrationDesk
from app.narrate.panel import NarrationPanel
from app.run.desk import Desk
from app.run.film_export import BodiesLaid
from app.run.film_questions import FilmQuestions
from app.run.question_bar import Question
from app.run.rail_edits import RailEdits
from app.run.shown import zero_s
from app.run.strip_export import StripExport, StripsWanted
from app.run.toolbox import Toolbox
from app.run.writer import Writer
from app.settings import Settings


class CompareWorkspace(CompareFrame):
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
        narration: NarrationDesk,
        writer: Writer,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(bench, actions, parent)
        self._settings = settings
        self._desk, self._toolbox, self._questions = desk, toolbox, questions
        self._here = False
        choices = Choices(settings)
        self._runs = ChosenRuns(bench, self._sides, choices)
        self.pairing = Pairing(self.ticker, self._sides, choices, self)
        self._keys = LockKeys(self._sides, self.pairing, self.bar, actions, self)
        self.coming = ComingFilms(self._sides, bench.films, self)
        self.pictures = TwoPictures(self._sides, self.pairing, actions, self)
        title = tr("Export both posture strips")
        self.export = StripExport(bench, writer, title, self._strips_wanted, self)
        self.bodies = BodiesOver(self._sides, self.pairing, actions, self)
        self._narration, self._two_films = narration, TwoFilms(self._sides, self.ticker, self.pairing)
        self.told = NarrationPanel(bench, narration, actions, self)
        self.beside.addTab(self.told, tr("Narration"))
        self._edits = [RailEdits(bench, side.rail, side.pane, self) for side in self._sides]
        self._connect()
        self.ticker.set_speed(float(settings["slow_speed"]))
        self._enable(False)

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
            side.pane.frame_shown.connect(self._frame_shown)
            side.pane.said.connect(bench.said)
            side.pane.view.addActions(actions.of(Scope.PICTURE))
            side.pane.strip.addAction(actions["skip_stop"])
            for widget in (side.pane, side.rail):
                widget.addActions(actions.of(Scope.FILM))
        for edits in self._edits:
            edits.settled.connect(self._settled)
        self.beside.asked.connect(self._frame_asked)
        self.beside.run_requested.connect(self._run_asked)
        self.pairing.laid.connect(self.beside.charts.refresh)
        self._keys.said.connect(bench.said)
        self.pictures.said.connect(bench.said)
        self.ticker.playing_changed.connect(self.transport.set_playing)
        self.ticker.speed_changed.connect(self._speed_changed)
        self.transport.speed_chosen.connect(self.ticker.set_speed)
        for name, act in {
            "other_film": self._other_film,
            "swap_films": self._swap,
            "show_differences": self.beside.turn_page,
            "export_strips": self.export.ask,
        }.items():
            actions.do(name, act)

    @Slot(bool, int)
    def _frame_asked(self, lower: bool, frame: int) -> None:
        (self.lower_side if lower else self.upper_side).pane.go_to(frame)

    def run_beside(self) -> str:
        """The id of the run beside the one at hand; empty while this workspace is not on show."""
        return self._runs[self.other] if self._here else ""

    def bodies_over(self) -> BodiesLaid:
        """Over which films the other run's body lies."""
        sides = (self.active, self.other)
        laid = tuple(number for number, side in enumerate(sides) if side.other_body.isChecked())
        return BodiesLaid(laid, self.pairing.meet)

    def _strips_wanted(self) -> StripsWanted:
        """Both strips as they would be written now."""
        pair = self.beside.strips.make_pair()
        looks = [side.look for side in self._sides if side.look is not None and side.look.film is not None]
        if not pair.columns or len(looks) < 2:
            words = tr("Both films have to be shown: find them first.")
            return StripsWanted(why_not=pair.upper.reason or words)
        return StripsWanted(tuple(look.run for look in looks))

    # coming and going

    def enter(self) -> None:
        """Show the run at hand beside the one that it was last compared with, else beside another."""
        self._here = True
        self._enable(True)
        frame = int(self._bench.frame)
        self._desk.work_on(self.active.pane)
        self._toolbox.work_on(self.active.pane)
        self._narration.work_on(self._two_films)
        self.active.pane.view.setFocus()
        self.pictures.show_numbers()
        self._runs_changed()
        self._runs.make_room(self._bench.run)
        for side in self._sides:
            side.set_active(side is self.active)
        self._run_changed(self._bench.run)
        self._ask()
        self.active.pane.go_to(frame)

    def leave(self) -> None:
        """Let go of both films; what was chosen stays."""
        self._here = False
        self._narration.work_on(None)
        self._enable(False)
        self.ticker.pause()
        if self.active.pane.film is not None:
            self._bench.show_frame(self.active.pane.wanted)  # its picture may still be on its way
        for side in self._sides:
            side.let_go()

    def shutdown(self) -> None:
        """Stop the clock and both readers."""
        self.ticker.shutdown()
        self.beside.strips.shutdown()
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

    def turn_to(self, side: CompareSide) -> None:
        """Take a side in hand; its run comes to hand on the bench, and both films stay where they are."""
        if side is self.active:
            return
        self.active.set_active(False)
        self._sides.in_hand = side
        side.set_active(True)
        self._divide()
        self.bodies.show_bodies()
        self._desk.work_on(side.pane)
        self._toolbox.work_on(side.pane)
        self.other.question.ask(Question())
        self._ask()
        bench, run_id = self._bench, self._runs[side]
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
                side.fill(self._runs.known())

    @Slot()
    def _film_came(self) -> None:
        if self._here:
            self._run_changed(self._bench.run)
            self.ticker.seek(self.ticker.clock.time_s)  # a film that came hears where the clock stands

    @Slot(object)
    def _run_changed(self, run: Run | None) -> None:
        if not self._here:
            return
        runs, active, other = self._runs, self.active, self.other
        runs.forget_unknown()
        if run is not None and runs[active] != run.id:
            if runs[other] == run.id and runs[active]:
                self.turn_to(other)  # the bench went to the other run by itself, as undoing does
            else:
                runs.choose(active, run.id)
        if run is not None and not runs[self.other] and runs.find_partner(run):
            self._swap()
        self._show()

    def _show(self) -> None:
        for side in self._sides:
            side.show_look(self._bench.look(self._runs[side], side.look))
        self.pictures.show_lanes()
        self.pairing.lay(self.active)
        self.beside.show_looks()
        self._show_place()
        self.coming.show_all()
        self._narration.refresh()

    @Slot()
    def _ask(self) -> None:
        if self._here:
            self.active.question.ask(self._questions.now)

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
            self.pictures.show_lanes()
            self.bodies.show_bodies()
            self.beside.set_frames()
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
        if isinstance(side, CompareSide):
            self._choose_run(side, run_id)

    @Slot(str)
    def _run_asked(self, run_id: str) -> None:
        """Of a run that is on show already its side comes to hand, else it comes to the side in hand."""
        shown = next((side for side in self._sides if self._runs[side] == run_id), self.active)
        self._choose_run(shown, run_id)

    def _choose_run(self, side: CompareSide, run_id: str) -> None:
        if run_id in self._bench.project.runs:
            self.turn_to(side)
            self._runs.choose(side, run_id)
            self._bench.choose_run(run_id, at=0, follows=True)
            self.ticker.seek(self.ticker.clock.time_s)
            self._frame_shown()

    @Slot()
    def _other_film(self) -> None:
        self.turn_to(self.other)
        self.active.pane.view.setFocus()

    @Slot()
    def _swap(self) -> None:
        self._sides.swap()
        self._arrange()
        self.pictures.turned()
        self.pairing.turned()
        self.beside.show_looks()

    @Slot(float)
    def _speed_changed(self, share: float) -> None:
        self.transport.set_speed(share)
        if share < 1.0:
            self._settings["slow_speed"] = share
