"""The ground strip and the step rail side by side, on one time axis."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.actions import Actions
from app.bench import Bench
from app.drafts.columns import columns_on
from app.drafts.finder import DraftFinder
from app.rail.rail import StepRail
from app.settings import Settings
from app.strip.view import GroundStripView


class StripBesideRail(QWidget):
    """Shows the strip left of the rail once there is one, unless the coach has put it away.

    Signals: resized(): the two need another width.
    """

    resized = Signal()

    def __init__(
        self,
        bench: Bench,
        rail: StepRail,
        finder: DraftFinder,
        actions: Actions,
        settings: Settings,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._bench, self._rail, self._finder, self._settings = bench, rail, finder, settings
        self._action = actions["ground_strip"]
        self._action.setChecked(bool(settings["ground_strip"]))
        self.strip = GroundStripView(rail, self)
        self.strip.hide()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(1)
        row.addWidget(self.strip)
        row.addWidget(rail, 1)
        actions.do("ground_strip", self._toggle)
        finder.strip_changed.connect(self._show)

    @Slot()
    def _toggle(self) -> None:
        if self._finder.strip is None:
            self._action.setChecked(True)
            self._finder.find(drafts=False)
        self._settings["ground_strip"] = self._action.isChecked()
        self._show()

    @Slot()
    def _show(self) -> None:
        run, evidence, drafted = self._bench.run, self._bench.evidence, self._finder.drafted
        strip = drafted.strip
        shown = self._action.isChecked() and strip is not None
        if shown and run is not None and strip is not None and evidence is not None:
            columns = columns_on(strip, drafted.footfalls, run)
            self.strip.show_strip(strip, run, evidence.film.times, strip.metres(evidence), columns)
            self.strip.set_frame(self._rail.value())  # its first strip gives it its first frames
        if shown == self.strip.isHidden():
            self.strip.setVisible(shown)
            self.updateGeometry()
            self.resized.emit()
