"""The films of the drill at hand on the day at hand: listed, added, opened, removed."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.drill_film import DrillFilm, films_of
from analysis.values.errors import CinderlaneError, PlanError
from analysis.values.words import tr, tr_count
from app import asking
from app.actions import Actions
from app.bench import Bench
from app.film.transport import tool_button
from app.film_shelf import Order
from app.flow_row import FlowRow
from app.marking import drilling
from app.theme.tokens import Space

_MOST_ROWS = 4


class FilmAdding(QObject):
    """Has a film read beside the window and puts it on the day when it is there.

    Signals: added(str): a film of a drill was added, by its id.
    """

    added = Signal(str)

    def __init__(self, bench: Bench, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._waiting: tuple[Order, str, Drill] | None = None
        bench.films.came.connect(self._came)

    def add(self, path: Path, day: DayPlan, drill: Drill) -> None:
        """A film of a drill of a day, from its file."""
        self._waiting = (self._bench.order_for(path), day.id, drill)
        self._try()

    @Slot(object)
    def _came(self, order: Order) -> None:
        if self._waiting is not None and self._waiting[0] == order:
            self._try()

    def _try(self) -> None:
        assert self._waiting is not None
        order, day_id, drill = self._waiting
        bench = self._bench
        try:
            film = bench.films.get(order)
            if film is None:
                bench.said.emit(tr("Opening {film}…").format(film=order.path.name))
                return
            self._waiting = None
            day = bench.project.days.get(day_id)
            if day is None:
                raise PlanError(tr("The day is not in the project any more."))
            others = films_of(bench.project.drill_films.values(), day.id, drill.id)
            made, film_id = drilling.add_film(bench.project, day, drill, film, next(iter(others), None))
            bench.edit(made)
        except CinderlaneError as error:
            self._waiting = None
            bench.said.emit(str(error))
            return
        self.added.emit(film_id)


class FilmsOfDrill(QWidget):
    """A list with its buttons.

    Signals: opened(str): a film of a drill is to be shown, by its id.
    """

    opened = Signal(str)

    def __init__(self, bench: Bench, actions: Actions, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench, self._actions = bench, actions
        self._day: DayPlan | None = None
        self._drill: Drill | None = None
        self.adding = FilmAdding(bench, self)
        self.adding.added.connect(self.opened)
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.films = QListWidget(self)
        self.films.setAccessibleName(tr("Films of this drill on this day"))
        self.films.itemActivated.connect(self._open)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.SMALL)
        column.addWidget(self.words)
        column.addWidget(self.films)
        row = FlowRow()
        for name in ("open_drill_film", "remove_drill_film", "add_drill_film"):
            button = tool_button(actions, name, self)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
            row.addWidget(button)
        column.addLayout(row)
        actions.do("add_drill_film", self._add)
        actions.do("open_drill_film", self._open)
        actions.do("remove_drill_film", self._remove)

    def show_films(self, day: DayPlan | None, drill: Drill | None, *, here: bool) -> None:
        """The films of a drill on a day; ``here``: whether the plan is in sight."""
        chosen = self.chosen
        self._day, self._drill = day, drill
        found: tuple[DrillFilm, ...] = ()
        if day is not None and drill is not None:
            found = films_of(self._bench.project.drill_films.values(), day.id, drill.id)
        self.films.clear()
        for film in found:
            run = self._bench.project.runs[film.run_id]
            count = tr_count("{count} rep", "{count} reps", len(film.reps)).format(count=len(film.reps))
            item = QListWidgetItem(f"{run.name} · {count}")
            item.setData(Qt.ItemDataRole.UserRole, film.id)
            self.films.addItem(item)
            if chosen is not None and film.id == chosen.id:
                self.films.setCurrentItem(item)
        if found and self.films.currentRow() < 0:
            self.films.setCurrentRow(0)
        self.films.setVisible(bool(found))
        self.films.setFixedHeight(
            min(len(found), _MOST_ROWS) * max(self.films.sizeHintForRow(0), 24) + 2 * self.films.frameWidth()
        )
        self.setVisible(day is not None and drill is not None)
        self.words.setText(
            tr("Films of this drill on this day")
            if found
            else tr("No film of this drill on this day yet. Films of drills never count among the sprints.")
        )
        self._actions["add_drill_film"].setEnabled(here and day is not None and drill is not None)
        for name in ("open_drill_film", "remove_drill_film"):
            self._actions[name].setEnabled(here and bool(found))

    @property
    def chosen(self) -> DrillFilm | None:
        """The film that the list stands on."""
        row = self.films.currentRow()
        film_id = "" if row < 0 else str(self.films.item(row).data(Qt.ItemDataRole.UserRole))
        return self._bench.project.drill_films.get(film_id)

    @Slot()
    def _add(self) -> None:
        if self._day is None or self._drill is None:
            return
        path = asking.film_to_open(self, "")
        if path is not None:
            self.adding.add(path, self._day, self._drill)

    @Slot()
    def _open(self) -> None:
        if self.chosen is not None:
            self.opened.emit(self.chosen.id)

    @Slot()
    def _remove(self) -> None:
        film = self.chosen
        if film is not None:
            self._bench.attempt(lambda: drilling.remove_film(self._bench.project, film))
