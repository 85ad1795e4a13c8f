"""Which runs stand beside each other in the table of several runs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from analysis.values.run import Run
from analysis.values.words import tr

_ID = int(Qt.ItemDataRole.UserRole)
_MOST_LINES = 3


class RunList(QListWidget):
    """Runs to tick; the space bar ticks the one at hand.

    Signals: changed(): another choice of runs.
    """

    changed = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._filling = False
        self.setAccessibleName(tr("Runs that are compared"))
        self.setProperty("role", "rows")
        self.itemChanged.connect(self._ticked)

    @property
    def chosen(self) -> tuple[str, ...]:
        """The ticked runs by id, in order."""
        items = (self.item(row) for row in range(self.count()))
        return tuple(str(i.data(_ID)) for i in items if i.checkState() is Qt.CheckState.Checked)

    def fill(self, runs: Sequence[Run], codes: Mapping[str, str], ticked: Iterable[str]) -> None:
        """Offer these, in this order; ``codes``: of athletes by id."""
        wanted, shown = set(ticked), [(run.id, _words(run, codes)) for run in runs]
        self._filling = True
        if shown != [(self.item(n).data(_ID), self.item(n).text()) for n in range(self.count())]:
            self.clear()
            for run_id, words in shown:
                item = QListWidgetItem(words, self)
                item.setData(_ID, run_id)
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            self.updateGeometry()
        for row in range(self.count()):
            on = self.item(row).data(_ID) in wanted
            self.item(row).setCheckState(Qt.CheckState.Checked if on else Qt.CheckState.Unchecked)
        self._filling = False

    def sizeHint(self) -> QSize:
        """A few lines: the table has the rest."""
        lines = max(1, min(_MOST_LINES, self.count()))
        line = max(self.sizeHintForRow(0), self.fontMetrics().height())
        return QSize(super().sizeHint().width(), lines * line + 2 * self.frameWidth() + 4)

    def minimumSizeHint(self) -> QSize:
        """One line."""
        line = max(self.sizeHintForRow(0), self.fontMetrics().height())
        return QSize(120, line + 2 * self.frameWidth() + 4)

    @Slot(QListWidgetItem)
    def _ticked(self, item: QListWidgetItem) -> None:
        if not self._filling:
            self.changed.emit()


def _words(run: Run, codes: Mapping[str, str]) -> str:
    rep = "" if run.conditions.rep is None else tr("rep {rep}").format(rep=run.conditions.rep)
    parts = (run.conditions.day or tr("no day"), rep, run.name, codes.get(run.athlete_id or "", ""))
    return " · ".join(part for part in parts if part)
