"""How exactly the coach tags: assumed, or measured by tagging a run again, unseen."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from analysis.steps.events import DEFAULT_DOUBT_S
from analysis.steps.retagging import tagging_words
from analysis.values.resolving import tagging_of
from analysis.values.run import Run
from analysis.values.words import tr
from app.action_button import action_button
from app.bench import Bench
from app.marking import retagging
from app.theme.tokens import Space


class TaggingBox(QWidget):
    """What every ± of a time rests on beside the frame, and the way to measure it."""

    def __init__(self, bench: Bench, tag_again: QAction, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        heading = QLabel(tr("How exactly you tag"), self)
        heading.setProperty("role", "heading")
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.again = action_button(tag_again, "", self)
        self.forget = QPushButton(tr("Take the usual doubt"), self)
        self.forget.setToolTip(tr("What was measured is forgotten; the usual doubt counts again"))
        self.forget.clicked.connect(self._forget)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, Space.BASE, 0, Space.BASE)
        column.setSpacing(Space.BASE)
        column.addWidget(heading)
        column.addWidget(self.words)
        for button in (self.again, self.forget):
            column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        bench.run_changed.connect(self._show_run)
        self._show_run(bench.run)

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        error = tagging_of(self._bench.project)
        usual = tr(
            "Not measured: a contact is taken to look doubtful within {ms:g} ms either way. Tag a run again "
            "without seeing the first tags, and your own figure takes its place."
        ).format(ms=1e3 * DEFAULT_DOUBT_S)
        self.words.setText(usual if error is None else tagging_words(error))
        second = run is not None and run.retags is not None
        self.again.setText(tr("Compare the two taggings") if second else tr("Tag again, unseen"))
        self.forget.setVisible(error is not None)

    @Slot()
    def _forget(self) -> None:
        self._bench.attempt(lambda: retagging.forget(self._bench.project))
