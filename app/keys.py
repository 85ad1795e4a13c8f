"""All keys on one page."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from analysis.values.words import tr
from app.actions import TABLE, shown_keys
from app.copying import copyable


class KeysDialog(QDialog):
    """A table of every command with its keys; not modal, so that keys can be tried beside it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Keys"))
        self.setModal(False)
        self.resize(760, 620)
        table = QTableWidget(len(TABLE), 3, self)
        table.setAccessibleName(tr("Commands and their keys"))
        table.setHorizontalHeaderLabels([tr("Command"), tr("Keys"), tr("What it does")])
        table.verticalHeader().setVisible(False)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setTabKeyNavigation(False)
        for row, spec in enumerate(TABLE):
            for column, text in enumerate((spec.text.rstrip("…"), shown_keys(spec), spec.help)):
                table.setItem(row, column, QTableWidgetItem(text))
        copyable(table)
        header = table.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(table)
        layout.addWidget(buttons)
