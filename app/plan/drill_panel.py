"""The words of the drill at hand; from here a drill is changed, written anew, or taken back."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QTextBrowser, QVBoxLayout, QWidget

from analysis.plan.library import common_drills
from analysis.values.drill import Drill
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.film.transport import tool_button
from app.flow_row import FlowRow
from app.marking import planning
from app.plan.drill_dialog import DrillDialog
from app.plan.drill_words import drill_words
from app.theme.apply import current_theme
from app.theme.tokens import Space


class DrillPanel(QWidget):
    """Shows a drill of the library, and its actions below."""

    def __init__(self, bench: Bench, actions: Actions, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench, self._actions = bench, actions
        self._drill_id = ""
        self.words = QTextBrowser(self)
        self.words.setAccessibleName(tr("The drill at hand"))
        below = FlowRow()
        for name in ("new_drill", "change_drill", "drop_drill"):
            below.addWidget(tool_button(actions, name, self))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, Space.BASE)
        column.addWidget(self.words, 1)
        column.addLayout(below)
        actions.do("new_drill", self._new)
        actions.do("change_drill", self._change)
        actions.do("drop_drill", self._drop)

    @property
    def drill(self) -> Drill | None:
        """The drill at hand."""
        return planning.drills_of(self._bench.project).get(self._drill_id)

    @Slot(str)
    def show_drill(self, drill_id: str) -> None:
        """Bring a drill to hand; none where there is none of that id."""
        self._drill_id = drill_id
        self.refresh()

    def refresh(self) -> None:
        """Show the drill at hand as it is now, in the colours of the theme."""
        drill, open_now = self.drill, self._bench.path is not None and self.isVisible()
        self.words.setHtml(_nothing() if drill is None else drill_words(drill, current_theme()))
        self._actions["new_drill"].setEnabled(open_now)
        self._actions["change_drill"].setEnabled(open_now and drill is not None)
        self._actions["drop_drill"].setEnabled(open_now and drill is not None and drill.own)
        common = drill is None or drill.id in common_drills()
        self._actions["drop_drill"].setText(tr("As it came") if common else tr("Remove it"))

    @Slot()
    def _new(self) -> None:
        self._open(planning.blank_drill())

    @Slot()
    def _change(self) -> None:
        if self.drill is not None:
            self._open(self.drill)

    def _open(self, drill: Drill) -> None:
        dialog = DrillDialog(self._bench, drill, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.kept.connect(self.show_drill)
        dialog.open()

    @Slot()
    def _drop(self) -> None:
        self._bench.attempt(lambda: planning.drop_drill(self._bench.project, self._drill_id))


def _nothing() -> str:
    return f"<p>{tr('Choose a drill to read what it is for and how it is done.')}</p>"
