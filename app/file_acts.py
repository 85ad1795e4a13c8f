"""What the menu File asks of films, projects and tables: each asks for a file and says what came of it."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.export import export_reading
from analysis.store import SUFFIX
from analysis.values.words import tr
from app import asking
from app.actions import Actions
from app.bench import Bench
from app.copying import copy_focused
from app.opening import Opening
from app.settings import Settings


class FileActs(QObject):
    """Connects the menu to the bench.

    Signals: leaving(): another run comes; what is being typed belongs to the one at hand.
    """

    leaving = Signal()

    def __init__(
        self,
        bench: Bench,
        opening: Opening,
        actions: Actions,
        settings: Settings,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._bench, self._opening, self._settings, self._window = bench, opening, settings, window
        for name, act in {
            "open_film": self._open_film,
            "open_project": self._open_project,
            "new_project": self._new_project,
            "new_run": self._new_run,
            "find_film": self._find_film,
            "save_copy": self._save_copy,
            "copy_table": self._copy_table,
            "export_table": self._export,
        }.items():
            actions.do(name, act)

    @Slot()
    def _open_film(self) -> None:
        path = asking.film_to_open(self._window, str(self._settings["film_folder"]))
        if path is not None:
            self.leaving.emit()
            self._opening.open([path])

    @Slot()
    def _new_run(self) -> None:
        self.leaving.emit()
        self._bench.try_to(self._bench.new_run)

    @Slot()
    def _find_film(self) -> None:
        path = asking.film_to_open(self._window, str(self._settings["film_folder"]))
        if path is not None:
            self._bench.try_to(lambda: self._bench.find_film(path))

    @Slot()
    def _open_project(self) -> None:
        path = asking.project_to_open(self._window)
        if path is not None:
            self._opening.open_project(path)

    @Slot()
    def _new_project(self) -> None:
        path = asking.place_to_save(self._window, tr("New project"), tr("Project"), SUFFIX)
        if path is not None:
            self._bench.try_to(lambda: self._bench.new_project(path))

    @Slot()
    def _save_copy(self) -> None:
        path = asking.place_to_save(self._window, tr("Save a copy"), tr("Project"), SUFFIX)
        if path is not None and self._bench.try_to(lambda: self._bench.save_copy(path)):
            self._bench.said.emit(tr("The copy is in {path}.").format(path=path))

    @Slot()
    def _copy_table(self) -> None:
        if not copy_focused():
            self._bench.said.emit(tr("Click into a table first: its rows are copied."))

    @Slot()
    def _export(self) -> None:
        reading = self._bench.reading
        if reading is None:
            self._bench.said.emit(tr("There is nothing to export yet. Open a film and tag its footfalls."))
            return
        path = asking.place_to_save(self._window, tr("Export the reading"), tr("Table"), ".csv")
        force = bool(self._settings["force"])
        if path is not None and self._bench.try_to(lambda: export_reading(reading, path, force=force)):
            self._bench.said.emit(tr("The reading is in {path}.").format(path=path))
