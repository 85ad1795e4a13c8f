"""The Plan workspace: the library, a day with its three blocks, and the words of the drill at hand."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QLabel,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from analysis.plan.day_page import Room, day_page
from analysis.plan.library import drill_of
from analysis.values.command import Command
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Block, Drill
from analysis.values.errors import CinderlaneError
from analysis.values.project import Project
from analysis.values.questions import Question
from analysis.values.typed import today
from analysis.values.words import tr
from app import asking
from app.actions import PLAN, Actions
from app.bench import Bench
from app.film.transport import tool_button
from app.flow_row import FlowRow
from app.marking import planning
from app.plan.day_form import DayForm
from app.plan.day_pdf import write_day
from app.plan.day_sums import cautions, sum_words
from app.plan.day_tree import DayTree
from app.plan.drill_films.film_list import FilmsOfDrill
from app.plan.drill_films.keys import KEYS
from app.plan.drill_films.page import DrillFilmPage
from app.plan.drill_list import DrillList
from app.plan.drill_panel import DrillPanel
from app.plan.groups_page import GroupsPage
from app.run.desk import Desk
from app.run.film_questions import FilmQuestions
from app.run.toolbox import Toolbox
from app.theme.tokens import Space


class PlanWorkspace(QWidget):
    """Puts the widgets of planning together; every change is an edit of the project."""

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
        self._here = False
        self._day_id = ""
        self._run_before, self._frame_before = "", 0
        self._seen: Project | None = None
        self.drills = DrillList(self)
        self.groups = GroupsPage(bench, self)
        self.beside = QTabWidget(self)
        self.beside.setDocumentMode(True)
        self.beside.setAccessibleName(tr("Drills and groups"))
        self.beside.addTab(self.drills, tr("Drills"))
        self.beside.addTab(self.groups, tr("Groups"))
        self.days = QComboBox(self)
        self.days.setAccessibleName(tr("Day"))
        self.days.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.days.setMinimumContentsLength(18)
        self.days.setToolTip(tr("The planned days of this project"))
        self.form = DayForm(self)
        self.tree = DayTree(self)
        self.nothing = QWidget(self)
        self.empty = QLabel(self)
        self.empty.setWordWrap(True)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.begin = QPushButton(tr("Plan a day"), self)
        self.begin.setProperty("role", "primary")
        self.sums = QLabel(self)
        self.sums.setProperty("role", "heading")
        self.sums.setWordWrap(True)
        self.minds = QLabel(self)
        self.minds.setWordWrap(True)
        self.drill_panel = DrillPanel(bench, actions, self)
        self.words = self.drill_panel.words
        self.films = FilmsOfDrill(bench, actions, self)
        self.drill_film = DrillFilmPage(bench, actions, desk, toolbox, questions, self)
        self._lay_out()
        self._connect()
        self._enable(False)

    def _lay_out(self) -> None:
        without_day = QVBoxLayout(self.nothing)
        without_day.setSpacing(Space.BASE)
        without_day.addStretch(2)
        without_day.addWidget(self.empty)
        without_day.addWidget(self.begin, 0, Qt.AlignmentFlag.AlignCenter)
        without_day.addStretch(3)
        top = FlowRow()
        top.addWidget(self.days)
        for name in ("new_day", "propose_day", "print_day", "remove_day"):
            top.addWidget(tool_button(self._actions, name, self))
        day = QWidget(self)
        column = QVBoxLayout(day)
        column.setContentsMargins(Space.BASE, Space.BASE, Space.BASE, Space.BASE)
        column.setSpacing(Space.BASE)
        column.addLayout(top)
        column.addWidget(self.nothing, 1)
        column.addWidget(self.form)
        column.addWidget(self.tree, 1)
        column.addWidget(self.sums)
        column.addWidget(self.minds)
        across = QSplitter(Qt.Orientation.Horizontal, self)
        drill = QWidget(self)
        of_drill = QVBoxLayout(drill)
        of_drill.setContentsMargins(0, 0, Space.BASE, Space.BASE)
        of_drill.setSpacing(Space.BASE)
        of_drill.addWidget(self.drill_panel, 1)
        of_drill.addWidget(self.films)
        for place, (part, share) in enumerate(((self.beside, 1), (day, 3), (drill, 1))):
            across.addWidget(part)
            across.setStretchFactor(place, share)
        across.setChildrenCollapsible(False)
        across.setSizes([280, 700, 320])
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        self.pages = QStackedWidget(self)
        self.pages.addWidget(across)
        self.pages.addWidget(self.drill_film)
        whole.addWidget(self.pages)

    def _connect(self) -> None:
        bench = self._bench
        bench.run_changed.connect(self._refresh)
        bench.runs_changed.connect(self._refresh)
        for changed in (bench.run_changed, bench.runs_changed, bench.film_came, bench.reading_changed):
            changed.connect(self.groups.refresh)
        self.groups.day_wanted.connect(self._group_day)
        self.groups.run_wanted.connect(self._see_run)
        self.drills.shown.connect(self._show_drill)
        self.films.opened.connect(self.open_film)
        self.drill_film.left.connect(self.close_film)
        self.drills.taken.connect(self._take_drill)
        self.days.activated.connect(self._chosen)
        self.form.changed.connect(self._form_changed)
        self.begin.clicked.connect(self._new_day)
        self.tree.dropped.connect(self._dropped)
        self.tree.moved.connect(self._moved)
        self.tree.stepped.connect(self._stepped)
        self.tree.removed.connect(self._removed)
        self.tree.ticked.connect(self._ticked)
        self.tree.ticked_by.connect(self._ticked_by)
        self.tree.changed.connect(self._typed)
        self.tree.loaded.connect(self._loaded)
        self.tree.shown.connect(self._show_drill)
        for name, act in {
            "new_day": self._new_day,
            "propose_day": self._propose,
            "remove_day": self._remove_day,
            "print_day": self._print,
            "drill_done": self._tick,
        }.items():
            self._actions.do(name, act)

    # coming and going

    def enter(self) -> None:
        """Show what the project plans."""
        self._here = True
        self._enable(True)
        self._refresh()
        self.drill_panel.refresh()
        self._show_films()
        (self.tree if self.day is not None else self.begin).setFocus()

    def leave(self) -> None:
        """What was chosen stays; a film of a drill is let go of."""
        self.close_film()
        self._here = False
        self._enable(False)

    @Slot(str)
    def open_film(self, film_id: str) -> None:
        """Show a film of a drill in the place of the day."""
        film, run = self._bench.project.drill_films.get(film_id), self._bench.run
        if film is None:
            return
        if run is not None and not run.of_drill:
            self._run_before, self._frame_before = run.id, int(self._bench.frame)
        self._enable(False)
        self.pages.setCurrentWidget(self.drill_film)
        self.drill_film.open_film(film)

    @Slot()
    def close_film(self) -> None:
        """Back to the day; the run that was at hand before is so again."""
        if self.pages.currentWidget() is not self.drill_film:
            return
        self.pages.setCurrentIndex(0)
        self.drill_film.close_film()
        self._enable(True)
        sprints = [run.id for run in self._bench.project.sprints]
        if self._run_before in sprints:
            self._bench.choose_run(self._run_before, self._frame_before)
        elif sprints:
            self._bench.choose_run(sprints[0])
        self._seen = None
        self._refresh()
        self.tree.setFocus()

    def shutdown(self) -> None:
        """Stop what goes on."""
        self.drill_film.shutdown()

    def dress(self) -> None:
        """Words in the colours of the theme."""
        self.drill_panel.refresh()

    def _enable(self, here: bool) -> None:
        of_film = (*KEYS, "leave_drill_film")
        for action in self._actions.menu(PLAN):
            if action.objectName() not in of_film:
                action.setEnabled(here)

    @Slot(str)
    def _show_drill(self, drill_id: str) -> None:
        self.drill_panel.show_drill(drill_id)
        self._show_films()

    def _show_films(self) -> None:
        here = self._here and self.pages.currentIndex() == 0
        self.films.show_films(self.day, self.drill_panel.drill, here=here)

    # what is shown

    @property
    def day(self) -> DayPlan | None:
        """The day at hand."""
        return self._bench.project.days.get(self._day_id)

    @Slot()
    def _refresh(self) -> None:
        project = self._bench.project
        if not self._here or project is self._seen or self.pages.currentWidget() is self.drill_film:
            return
        self._seen = project
        days = sorted(project.days.values(), key=lambda one: one.date, reverse=True)
        if self._day_id not in project.days:
            self._day_id = days[0].id if days else ""
        self.days.clear()
        for one in days:
            self.days.addItem(_day_title(one, project), one.id)
        self.days.setCurrentIndex(self.days.findData(self._day_id))
        self.days.setEnabled(bool(days))
        self.drills.show_drills(planning.drills_of(project))
        self.drill_panel.refresh()
        self._show_day()

    def _show_day(self) -> None:
        day, project = self.day, self._bench.project
        of_day: tuple[QWidget, ...] = (self.form, self.tree, self.sums, self.minds)
        for part in (*of_day, self.nothing):
            part.setVisible((day is not None) == (part in of_day))
        self.begin.setEnabled(self._bench.path is not None)
        for name in ("propose_day", "print_day", "remove_day"):
            self._actions[name].setEnabled(self._here and day is not None)
        self.empty.setText(
            tr("No day is planned yet. Plan one: drills are proposed for its question, and yours to change.")
            if self._bench.path is not None
            else tr("Open a project or a film first: a day belongs to a project.")
        )
        self.form.show_plan(day, project)
        self.tree.show_plan(day, planning.drills_of(project), _codes(project))
        if self.drill_panel.drill is None:
            self._read_first()
        if day is not None:
            self.sums.setText(sum_words(day, project))
            self.minds.setText("\n".join(cautions(day, project)))
        self._show_films()

    # what the coach does

    @Slot(int)
    def _chosen(self, place: int) -> None:
        self._day_id = str(self.days.itemData(place))
        self._show_day()

    def plan_for_run(self) -> None:
        """Begin a day for what the run at hand shows, its blocks filled."""
        self._new_day()
        self._propose()
        self._read_first()

    @Slot()
    def _new_day(self) -> None:
        run = self._bench.run
        athletes = () if run is None or run.athlete_id is None else (run.athlete_id,)
        self._begin(planning.new_day(today(), athletes, planning.planned_question(self._bench.reading)))

    @Slot(object, object, object)
    def _group_day(self, ids: tuple[str, ...], question: Question, minutes: float | None) -> None:
        self._begin(planning.group_day(self._bench.project, today(), ids, question, minutes))
        self._read_first()

    def _read_first(self) -> None:
        """Bring the day's first drill to hand, unless the one at hand is of the day."""
        day, drill = self.day, self.drill_panel.drill
        if day is None or not day.drills:
            return
        if drill is None or all(one.drill_id != drill.id for one in day.drills):
            self.drill_panel.show_drill(day.drills[0].drill_id)
            self._show_films()

    def _begin(self, made: Command) -> None:
        before = self._day_id
        self._day_id = made.changes[0].id
        if not self._bench.attempt(lambda: made):
            self._day_id = before
            return
        self.form.question.setFocus()

    @Slot(str)
    def _see_run(self, run_id: str) -> None:
        self._bench.choose_run(run_id)
        self._actions["show_run"].trigger()

    @Slot()
    def _propose(self) -> None:
        self._edit(lambda day: planning.fill_day(self._bench.project, day))

    @Slot()
    def _remove_day(self) -> None:
        self._edit(planning.remove_day)

    @Slot()
    def _print(self) -> None:
        day, project = self.day, self._bench.project
        if day is None:
            return
        path = asking.place_to_save(self, tr("Day as PDF"), tr("PDF"), ".pdf")
        if path is None:
            return
        try:
            drills, sums = planning.drills_of(project), sum_words(day, project)
            told = day, drills, _codes(project), sums, cautions(day, project)
            count = write_day([day_page(*told, room) for room in Room], path)
            words = tr("The day is in {path}.")
            if count > 1:
                words = tr("The day is in {path}. It has more drills than one page holds: {count} pages.")
            self._bench.said.emit(words.format(path=path, count=count))
        except CinderlaneError as error:
            self._bench.said.emit(str(error))

    @Slot(object)
    def _form_changed(self, new: DayPlan) -> None:
        self._edit(lambda day: planning.change_day(day, new))

    @Slot(str)
    def _take_drill(self, drill_id: str) -> None:
        self._edit(lambda day: planning.add_drill(day, self._drill(drill_id)))

    @Slot(str, object, int)
    def _dropped(self, drill_id: str, block: Block, place: int) -> None:
        self._edit(lambda day: planning.add_drill(day, self._drill(drill_id), block, place))

    @Slot(str, object, int)
    def _moved(self, planned_id: str, block: Block, place: int) -> None:
        self._edit(lambda day: planning.move_drill(day, planned_id, block, place))

    @Slot(str, int)
    def _stepped(self, planned_id: str, step: int) -> None:
        self._edit(lambda day: planning.step_drill(day, planned_id, step))

    @Slot(str)
    def _removed(self, planned_id: str) -> None:
        self._edit(lambda day: planning.change_day(day, day.without(planned_id), tr("Remove a drill")))

    @Slot(str)
    def _ticked(self, planned_id: str) -> None:
        self._edit(lambda day: planning.turn_done(day, planned_id))

    @Slot(str, str)
    def _ticked_by(self, planned_id: str, athlete_id: str) -> None:
        self._edit(lambda day: planning.turn_done_by(day, planned_id, athlete_id))

    @Slot()
    def _tick(self) -> None:
        self.tree.tick()

    @Slot(str, str, str)
    def _typed(self, planned_id: str, field: str, text: str) -> None:
        if field == "went":
            self._edit(lambda day: planning.note_done(day, planned_id, text))
        else:
            self._edit(lambda day: planning.set_field(day, planned_id, field, text))

    @Slot(str, str, str)
    def _loaded(self, planned_id: str, athlete_id: str, text: str) -> None:
        self._edit(lambda day: planning.set_load(day, planned_id, athlete_id, text))

    def _drill(self, drill_id: str) -> Drill:
        return drill_of(planning.drills_of(self._bench.project), drill_id)

    def _edit(self, make: Callable[[DayPlan], Command]) -> None:
        day = self.day
        if day is not None and not self._bench.attempt(lambda: make(day)):
            self._show_day()  # what was typed does not stand


def _codes(project: Project) -> dict[str, str]:
    return {one.id: one.code for one in project.athletes.values()}


def _day_title(day: DayPlan, project: Project) -> str:
    codes = [project.athletes[one].code for one in day.athlete_ids if one in project.athletes]
    done = tr("done") if day.all_done else ""
    return "  ".join(part for part in (day.date, ", ".join(codes), done) if part)
