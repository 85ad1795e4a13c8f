"""The small question beside a mark just clicked: how far along the line, how high."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFormLayout, QFrame, QHBoxLayout, QPushButton, QWidget

from analysis.values.words import tr
from app.run.metres import MetresField


class MarkQuestion(QFrame):
    """Two fields and a button; Enter answers, Escape drops. It stays until whoever asked puts it away.

    Signals:
        answered(float, float): metres along the line and above the ground; may come again after a refusal.
        dropped(): no mark is wanted.
    """

    answered = Signal(float, float)
    dropped = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._within = parent
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self.along = MetresField(tr("Distance along the running line"), -20.0, 200.0, 3, self)
        self.height_field = MetresField(tr("Height above the ground"), 0.0, 10.0, 3, self)
        form = QFormLayout(self)
        form.addRow(tr("Along the line"), self.along)
        form.addRow(tr("Height"), self.height_field)
        self.place = QPushButton(tr("Place mark"), self)
        self.place.setDefault(True)
        self.place.clicked.connect(self._answer)
        self.cancel = QPushButton(tr("Cancel"), self)
        self.cancel.clicked.connect(self._drop)
        row = QHBoxLayout()
        row.addWidget(self.cancel)
        row.addWidget(self.place)
        form.addRow(row)
        self.hide()

    def move_into(self, widget: QWidget) -> None:
        """Ask within another widget from now on."""
        self.setParent(widget)
        self._within = widget
        self.hide()

    def ask(self, x: float, y: float, proposed_m: float) -> None:
        """Ask beside the place (x, y) of the parent, within it."""
        self.along.setValue(proposed_m)
        self.height_field.setValue(0.0)
        self.adjustSize()
        left = max(8, min(x + 18, self._within.width() - self.width() - 8))
        top = max(8, min(y - self.height() - 18, self._within.height() - self.height() - 8))
        self.move(int(left), int(top))
        self.show()
        self.raise_()
        self.ask_again()

    def ask_again(self) -> None:
        """The answer was refused: it stands there to be written over."""
        self.along.setFocus(Qt.FocusReason.OtherFocusReason)
        self.along.selectAll()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter answers, Escape drops."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._answer()
        elif event.key() == Qt.Key.Key_Escape:
            self._drop()
        else:
            super().keyPressEvent(event)

    def _answer(self) -> None:
        self.along.interpretText()
        self.height_field.interpretText()
        self.answered.emit(self.along.value(), self.height_field.value())

    def _drop(self) -> None:
        self.hide()
        self.dropped.emit()
