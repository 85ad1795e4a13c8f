"""What is drawn at the stop at hand, and which part of the picture it shows."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QPushButton, QWidget

from analysis.report.narrated import BODIES
from analysis.values.narration import Overlay, Stop
from analysis.values.words import tr

OVERLAY_WORDS = {
    Overlay.LINES: tr("Lines with their angles"),
    Overlay.BODY: tr("Body points"),
    Overlay.PATH: tr("Path of the centre of mass"),
    Overlay.RAIL: tr("Step rail"),
    Overlay.NUMBERS: tr("Numbers over the picture"),
    Overlay.OTHER: tr("The other body over both films, hips together"),
    Overlay.OTHER_TOE: tr("The other body over both films, stance toes together"),
}


class DrawnMenu(QPushButton):
    """A button with a menu.

    Signals:
        drawn_chosen(object): these overlays, as a tuple in the order of ``Overlay``.
        zoom_chosen(bool): the part of the picture on show; False: the whole of it.
    """

    drawn_chosen = Signal(object)
    zoom_chosen = Signal(bool)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setText(tr("Shows"))
        self.setAccessibleName(tr("What the stop shows"))
        self.setToolTip(tr("What is drawn at the stop at hand, and which part of the picture it shows"))
        menu = QMenu(self)
        self.overlays = {overlay: menu.addAction(words) for overlay, words in OVERLAY_WORDS.items()}
        for action in self.overlays.values():
            action.setCheckable(True)
            action.triggered.connect(self._drawn)
        menu.addSeparator()
        self.zoomed = menu.addAction(tr("The part of the picture now on show"))
        self.whole = menu.addAction(tr("The whole picture"))
        for action in (self.zoomed, self.whole):
            action.setCheckable(True)
            action.triggered.connect(self._framed)
        self.setMenu(menu)
        self.show_stop(None)

    def show_stop(self, stop: Stop | None) -> None:
        """Show what is chosen for a stop."""
        self.setEnabled(stop is not None)
        zoomed = stop is not None and (stop.zoom is not None or stop.beside_zoom is not None)
        for overlay, action in self.overlays.items():
            action.setChecked(stop is not None and overlay in stop.drawn)
            action.setVisible(overlay not in BODIES or (stop is not None and stop.beside is not None))
        self.zoomed.setChecked(zoomed)
        self.whole.setChecked(not zoomed)

    @Slot()
    def _drawn(self) -> None:
        bodies = [self.overlays[overlay] for overlay in BODIES]
        if self.sender() in bodies:
            for action in bodies:
                action.setChecked(action is self.sender() and action.isChecked())
        chosen = tuple(overlay for overlay, action in self.overlays.items() if action.isChecked())
        self.drawn_chosen.emit(chosen)

    @Slot()
    def _framed(self) -> None:
        action = self.sender()
        self.zoom_chosen.emit(isinstance(action, QAction) and action is self.zoomed)
