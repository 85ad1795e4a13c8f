"""A field for metres that takes a comma for a point, and the same on every machine."""

from __future__ import annotations

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QDoubleSpinBox, QWidget

from analysis.values.words import tr


class MetresField(QDoubleSpinBox):
    """Metres between two ends. What it is for is its accessible name and its tooltip."""

    def __init__(self, name: str, low: float, high: float, decimals: int, parent: QWidget) -> None:
        super().__init__(parent)
        # the system's own locale might read "2.5" as twenty-five
        self.setLocale(QLocale.c())
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.setRange(low, high)
        self.setDecimals(decimals)
        self.setSingleStep(0.5)
        self.setSuffix(tr(" m"))
        self.setKeyboardTracking(False)

    def validate(self, text: str, place: int) -> object:
        """As without the comma."""
        return super().validate(text.replace(",", "."), place)

    def valueFromText(self, text: str) -> float:
        """The number, however its decimals are set off."""
        return super().valueFromText(text.replace(",", "."))
