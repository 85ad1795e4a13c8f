"""A field for one number that may as well be unsaid."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QLineEdit, QWidget

from analysis.values.typed import typed_number
from analysis.values.words import tr


class ToldField(QLineEdit):
    """A number between two ends, a comma as good as a point; empty: nobody said.

    Signals:
        told(float | None): another number was written, or it was taken out.
        refused(str): why what was written can't be; the number before stands again.
    """

    told = Signal(object)
    refused = Signal(str)

    def __init__(
        self, name: str, help_text: str, low: float, high: float, unit: str, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._low, self._high, self._unit = low, high, unit
        self._value: float | None = None
        self.setAccessibleName(name)
        self.setToolTip(help_text)
        self.setPlaceholderText(tr("not said"))
        self.editingFinished.connect(self._taken)

    @property
    def value(self) -> float | None:
        """The number that stands."""
        return self._value

    def show_value(self, value: float | None) -> None:
        """Let this stand; nothing is told."""
        self._value = value
        self.setText("" if value is None else f"{value:g} {self._unit}")
        self.setCursorPosition(0)

    @Slot()
    def _taken(self) -> None:
        text = self.text().replace(self._unit, "").strip()
        value = typed_number(text) if text else None
        if value is not None and not self._low <= value <= self._high:
            written = self.text().strip()
            self.show_value(self._value)
            self.refused.emit(
                tr("{text} can't be right here. Write a number from {low:g} to {high:g} {unit}.").format(
                    text=written, low=self._low, high=self._high, unit=self._unit
                )
            )
            return
        if value != self._value:
            self._value = value
            self.told.emit(value)
        else:
            self.show_value(self._value)
