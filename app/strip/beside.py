"""The ground strip and the step rail side by side, on one time axis."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QWidget

from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.drafts.desk import DraftDesk
from app.marking.drawn import picture_size
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
        drafts: DraftDesk,
        actions: Actions,
        settings: Settings,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._bench, self._rail, self._drafts, self._settings = bench, rail, drafts, settings
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
        drafts.strip_changed.connect(self._show)

    @Slot()
    def _toggle(self) -> None:
        wanted = self._action.isChecked()
        self._settings["ground_strip"] = wanted
        if wanted and self._drafts.strip is None:
            self._bench.said.emit(tr("The ground strip stands here once every footfall has been drafted."))
        self._show()

    @Slot()
    def _show(self) -> None:
        run, facts, strip = self._bench.run, self._bench.facts, self._drafts.strip
        shown = self._action.isChecked() and strip is not None
        if shown and run is not None and strip is not None and facts is not None:
            size = picture_size(facts)
            metres = None if size is None else strip.metres(run, size)
            self.strip.show_strip(strip, run, facts.times, metres, self._drafts.columns)
            self.strip.set_frame(self._rail.value())  # its first strip gives it its first frames
        if shown == self.strip.isHidden():
            self.strip.setVisible(shown)
            self.updateGeometry()
            self.resized.emit()
