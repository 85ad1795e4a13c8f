"""The frame of the workspaces: menus, the run chooser, messages, opening and closing."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QByteArray, QCoreApplication, QEvent, QEventLoop, QObject, Qt, Slot
from PySide6.QtGui import QActionGroup, QCloseEvent, QDragEnterEvent, QDropEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from analysis.report.film_words import film_words
from analysis.values.errors import CinderlaneError
from analysis.values.film import Film
from analysis.values.run import Run
from analysis.values.words import tr
from app.actions import Actions, Scope
from app.bench import Bench
from app.buttons_keep_space import ButtonsKeepSpace
from app.compare.workspace import CompareWorkspace
from app.demo import demo_project
from app.file_acts import FileActs
from app.film.transport import tool_button
from app.film_opener import FilmOpener
from app.in_sight import KeepInSight
from app.keys import KeysDialog
from app.notice import Notice
from app.opening import Opening
from app.plan.workspace import PlanWorkspace
from app.run.bands_dialog import BandsDialog
from app.run.gates_dialog import GatesDialog
from app.run.place.work_row import WorkRow
from app.run.report_export import ReportExport
from app.run.workspace import RunWorkspace
from app.run.writer import Writer
from app.settings import Settings
from app.theme.apply import apply_theme, current_theme
from app.theme.tokens import DARK, LIGHT

log = logging.getLogger(__name__)

_TEXT_STEP = 0.125


class MainWindow(QMainWindow):
    """The window. ``home``: the folder of settings and demo project."""

    def __init__(self, settings: Settings, home: Path) -> None:
        super().__init__()
        self._settings = settings
        self._facts_words = ""
        self._home = home
        self._wear()  # first: the first dress does not reach widgets that are there already
        self.setWindowTitle(tr("Cinderlane"))
        self.setAcceptDrops(True)
        self.resize(1440, 900)
        self.actions_table = Actions(self)
        self.addActions(self.actions_table.of(Scope.WINDOW))
        self.actions_table.fill(self.menuBar())
        self.films = FilmOpener(self)
        self.films.memory_bytes = round(settings["film_memory_mb"] * 1e6)
        self.bench = Bench(self, self.films)
        self.opening = Opening(self.bench, self.films, home, self)
        self.file_acts = FileActs(self.bench, self.opening, self.actions_table, settings, self)
        self._opened = False
        self.notice = Notice(self)
        self.in_sight = KeepInSight(self)
        self._buttons = ButtonsKeepSpace(self)
        self.writing = WorkRow(self)
        writer = Writer(self.bench, self.writing, self)
        # every widget is made where it stays: one that is moved takes all that lies in it through its style
        self._whole = QWidget(self)
        self.workspaces = stack = QStackedWidget(self._whole)
        self.run_workspace = run = RunWorkspace(self.bench, self.actions_table, settings, writer, stack)
        self.compare_workspace = CompareWorkspace(
            self.bench,
            self.actions_table,
            settings,
            run.desk,
            run.toolbox,
            run.questions,
            run.narrating.desk,
            writer,
            stack,
        )
        self.compare_workspace.pictures.draw_as(run.drawing)
        run.film_export.run_beside = self.compare_workspace.run_beside
        run.film_export.bodies_over = self.compare_workspace.bodies_over
        self.report = ReportExport(self.bench, writer, self)
        self.plan_workspace = PlanWorkspace(
            self.bench, self.actions_table, run.desk, run.toolbox, run.questions, stack
        )
        self._places: dict[str, RunWorkspace | CompareWorkspace | PlanWorkspace] = {
            "show_run": run,
            "show_compare": self.compare_workspace,
            "show_plan": self.plan_workspace,
        }
        self._build()
        self._connect()
        self._restore()
        run.pane.view.setFocus()  # the keys of the film hold from the first moment

    def _build(self) -> None:
        self.run_chooser = QComboBox(self)
        self.run_chooser.setAccessibleName(tr("Run"))
        self.run_chooser.setMinimumWidth(200)
        self.run_chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.run_chooser.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.film_facts = QLabel(self)
        self.film_facts.setAccessibleName(tr("Facts of the film"))
        self.saved = QLabel(self)
        self._bar_buttons = {
            name: tool_button(self.actions_table, name, self) for name in ("open_film", "undo", "redo")
        }
        switch = [self._switch(name) for name in self._places]
        bar = self._bar = QHBoxLayout()
        bar.setContentsMargins(10, 6, 10, 6)
        bar.setSpacing(8)
        left = (*switch, self._bar_buttons["open_film"], self.run_chooser, self.film_facts)
        right = (self.saved, self._bar_buttons["undo"], self._bar_buttons["redo"])
        # aligned, each keeps its own height: a low button would press the others down to it
        for part in left:
            bar.addWidget(part, 0, Qt.AlignmentFlag.AlignVCenter)
        bar.addStretch(1)
        for part in right:
            bar.addWidget(part, 0, Qt.AlignmentFlag.AlignVCenter)
        column = QVBoxLayout(self._whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(bar)
        for workspace in self._places.values():
            self.workspaces.addWidget(workspace)
        column.addWidget(self.writing)
        column.addWidget(self.workspaces, 1)
        self.setCentralWidget(self._whole)
        self._whole.installEventFilter(self)
        self.notice.float_over(self._whole, self.film_facts, self.saved)
        self.dress()

    def _switch(self, name: str) -> QToolButton:
        button = tool_button(self.actions_table, name, self)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        return button

    def _connect(self) -> None:
        bench, actions = self.bench, self.actions_table
        bench.said.connect(self.notice.say)
        self.opening.said.connect(self.notice.say)
        self.file_acts.leaving.connect(self._hand_in)
        self.opening.refused.connect(self.run_workspace.show_refusal)
        self.opening.done.connect(self._opening_done)
        self.opening.changed.connect(self.run_workspace.show_opening)
        self.opening.expected.connect(self.run_workspace.expect)
        self.opening.progressed.connect(self.run_workspace.film_place.show_share)
        self.run_workspace.film_place.cancelled.connect(self.opening.cancel)
        coming = self.compare_workspace.coming
        self.opening.changed.connect(coming.show_opening)
        self.opening.progressed.connect(coming.show_share)
        coming.cancelled.connect(self.opening.cancel)
        bench.runs_changed.connect(self._runs_changed)
        bench.run_changed.connect(self._run_changed)
        bench.film_changed.connect(self._film_changed)
        bench.stack.indexChanged.connect(self._stack_moved)
        self.run_chooser.activated.connect(self._run_chosen)
        for name, act in {
            "open_demo": self.open_demo,
            "report_page": self.report.ask,
            "report_project": self.report.ask_whole,
            "gate_times": self._gate_times,
            "quit": self.close,
            "dark": self._dark,
            "larger_text": self._larger,
            "smaller_text": self._smaller,
            "keys": self._keys,
            "bands": self._bands,
        }.items():
            actions.do(name, act)
        places = QActionGroup(self)
        self.run_workspace.summary.answers.plan_requested.connect(self._plan)
        for name in self._places:
            actions.do(name, self._show_workspace)
            places.addAction(actions[name])
        actions["show_run"].setChecked(True)
        self._stack_moved()
        self._runs_changed()

    # opening

    def open_path(self, path: Path) -> bool:
        """Open a film or a project, and come back when it is on the bench; for scripts and at the start.

        Says why where it can't. True when it is open. The window stays alive meanwhile.
        """
        self.open_paths([path])
        while self.opening.busy:
            QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        return self._opened

    def open_paths(self, paths: Sequence[Path]) -> None:
        """Begin to open films and projects, in this order."""
        self._hand_in()
        self.opening.open(paths)

    @Slot(bool)
    def _opening_done(self, opened: bool) -> None:
        self._opened = opened
        if self.opening.folder:
            self._settings["film_folder"] = self.opening.folder

    @Slot()
    def open_demo(self) -> bool:
        """Open the demo project. True when it is open."""
        self._hand_in()
        try:
            return self.opening.open_project(demo_project(self._home))
        except CinderlaneError as error:
            self.notice.say(str(error))
            return False

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Files may be dropped."""
        if event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open what was dropped."""
        event.acceptProposedAction()
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            self.open_paths(paths)
            return
        self.notice.say(tr("Only files of this machine can be opened. Save it first, then drop it here."))

    # workspaces

    @Slot()
    def _show_workspace(self) -> None:
        name = next(name for name in self._places if self.actions_table[name].isChecked())
        before, workspace = self.workspaces.currentWidget(), self._places[name]
        if workspace is before:
            return
        for place in self._places.values():
            if place is before:
                place.leave()
        self.actions_table.enable_of_film(name != "show_plan")
        self.workspaces.setCurrentWidget(workspace)
        workspace.enter()
        self.run_chooser.setVisible(name == "show_run")
        self.film_facts.setVisible(name != "show_plan")
        self._fit_bar()

    @Slot()
    def _plan(self) -> None:
        self.actions_table["show_plan"].trigger()
        self.plan_workspace.plan_for_run()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out the bar."""
        super().resizeEvent(event)
        self._fit_bar()

    def changeEvent(self, event: QEvent) -> None:
        """Turned to again: take in what another window wrote into the project."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.ActivationChange and self.isActiveWindow():
            self.bench.take_in()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Other words or another size of text share out the bar anew."""
        if event.type() is QEvent.Type.LayoutRequest:
            self._fit_bar()
        return super().eventFilter(watched, event)

    def _fit_bar(self) -> None:
        """The facts of the film in one line, in two where text is large or the window narrow."""
        words, label = self._facts_words, self.film_facts
        across = label.fontMetrics().horizontalAdvance(words)
        if self._bar.sizeHint().width() - label.sizeHint().width() + across > self.width():
            words = words.replace(" · ", "\n", 1)
        if words != label.text():
            label.setText(words)

    # what is shown

    @Slot()
    def _runs_changed(self) -> None:
        self.run_chooser.clear()
        runs = sorted(self.bench.project.sprints, key=_by_name)
        for run in runs:
            self.run_chooser.addItem(run.name, run.id)
        self.run_chooser.setEnabled(bool(runs))
        self._run_changed(self.bench.run)

    @Slot(object)
    def _run_changed(self, run: Run | None) -> None:
        if run is not None:
            self.run_chooser.setCurrentIndex(self.run_chooser.findData(run.id))
        path = self.bench.path
        self.setWindowTitle(tr("Cinderlane") if path is None else f"{path.stem} – {tr('Cinderlane')}")
        words, more = "", ""
        if self.bench.read_only:
            words, more = tr("Read only"), tr("{path} can't be written: save a copy to edit it")
        elif path is not None:
            words, more = tr("Saved"), tr("Every edit is saved at once in {path}")
        self.saved.setText(words)
        self.saved.setToolTip(more.format(path=path))

    @Slot(object)
    def _film_changed(self, film: Film | None) -> None:
        self._facts_words = "" if film is None else film_words(film)
        self._fit_bar()

    @Slot(int)
    def _run_chosen(self, place: int) -> None:
        self.notice.hide()  # what it said was about the run before
        self.bench.choose_run(str(self.run_chooser.itemData(place)))

    @Slot()
    def _stack_moved(self) -> None:
        stack, actions = self.bench.stack, self.actions_table
        actions["undo"].setText(
            tr("Undo {what}").format(what=stack.undoText()) if stack.canUndo() else tr("Undo")
        )
        actions["redo"].setText(
            tr("Redo {what}").format(what=stack.redoText()) if stack.canRedo() else tr("Redo")
        )
        actions["undo"].setEnabled(stack.canUndo())
        actions["redo"].setEnabled(stack.canRedo())

    # looks

    def dress(self) -> None:
        """Draw icons again in the colours of the theme."""
        self.actions_table.dress(current_theme())
        self.notice.dress()
        for workspace in self._places.values():
            workspace.dress()

    def _apply_looks(self) -> None:
        self._wear()
        self.dress()
        self._fit_bar()

    def _wear(self) -> None:
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        theme = DARK if self._settings["theme"] == "dark" else LIGHT
        apply_theme(app, theme, float(self._settings["text_scale"]))

    @Slot()
    def _dark(self) -> None:
        self._settings["theme"] = "dark" if self.actions_table["dark"].isChecked() else "light"
        self._apply_looks()

    @Slot()
    def _larger(self) -> None:
        self._settings["text_scale"] = min(2.0, float(self._settings["text_scale"]) + _TEXT_STEP)
        self._apply_looks()

    @Slot()
    def _smaller(self) -> None:
        self._settings["text_scale"] = max(1.0, float(self._settings["text_scale"]) - _TEXT_STEP)
        self._apply_looks()

    @Slot()
    def _keys(self) -> None:
        self._show_once(KeysDialog, partial(KeysDialog, self))

    @Slot()
    def _bands(self) -> None:
        self._show_once(BandsDialog, partial(BandsDialog, self.bench, self))

    @Slot()
    def _gate_times(self) -> None:
        self._show_once(GatesDialog, partial(GatesDialog, self.bench, self))

    def _show_once(self, kind: type[QDialog], make: Callable[[], QDialog]) -> None:
        """Show a dialog beside the window; one of its kind that is there already comes to the front."""
        shown = self.findChild(kind)
        if isinstance(shown, kind):
            shown.activateWindow()
            return
        dialog = make()
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.show()

    def _restore(self) -> None:
        self.actions_table["dark"].setChecked(self._settings["theme"] == "dark")
        window = str(self._settings["window"])
        if window:
            self.restoreGeometry(QByteArray.fromBase64(window.encode(errors="ignore")))

    @Slot()
    def _hand_in(self) -> None:
        """What is being typed belongs to the run at hand: take it before another one comes."""
        field = self.focusWidget()
        if self.run_workspace.isAncestorOf(field):  # never so where nothing has the keyboard
            self.run_workspace.pane.view.setFocus()  # and the keys of the film hold from here on

    def closeEvent(self, event: QCloseEvent) -> None:
        """Every edit is in the file already: stop the film, keep the looks, let go."""
        self._hand_in()
        self._settings["window"] = bytes(self.saveGeometry().toBase64().data()).decode()
        self.run_workspace.shutdown()
        self.compare_workspace.shutdown()
        self.writing.shutdown()
        self.plan_workspace.shutdown()
        self.films.shutdown()
        self._settings.save()
        self.bench.close()
        super().closeEvent(event)


def _by_name(run: Run) -> str:
    return run.name
