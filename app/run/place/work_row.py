"""One line for work that goes on beside the window: what it is, how far, and a way to stop it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from analysis.jobs.child import ChildJob
from analysis.values.words import tr
from app.job_watch import JobWatch, said_of_work
from app.share_bar import ShareBar
from app.theme.tokens import Space


class WorkRow(QFrame):
    """Hidden while nothing goes on.

    Signals:
        finished(object): what came of the work; never after it was stopped.
        failed(str): why nothing came of it.
        stopped(): the coach gave it up.
    """

    finished = Signal(object)
    failed = Signal(str)
    stopped = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "panel")
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.bar = ShareBar(self)
        self.bar.setMinimumWidth(40)
        self.cancel = QPushButton(tr("Cancel"), self)
        self.cancel.clicked.connect(self._give_up)
        row = QHBoxLayout(self)
        row.setContentsMargins(Space.WIDE, Space.SMALL, Space.WIDE, Space.SMALL)
        row.setSpacing(Space.BASE)
        row.addWidget(self.words, 1)
        row.addWidget(self.bar, 1, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.cancel)
        self._work = ""
        self._watch = JobWatch(self)
        self._watch.went_on.connect(self._goes_on)
        self._watch.finished.connect(self._finished)
        self._watch.failed.connect(self._failed)
        self.hide()

    @property
    def busy(self) -> bool:
        """Whether something goes on."""
        return self._watch.busy

    def watch(self, job: ChildJob[Any], words: str) -> None:
        """Show how far a job is that was started; one that went on before is stopped."""
        self._watch.watch(job)
        self._work = words
        self.bar.setAccessibleName(words)
        self.cancel.setAccessibleName(tr("Stop: {what}").format(what=words))
        self._goes_on(0.0)
        self.show()

    def shutdown(self) -> None:
        """Stop what goes on; nothing is said of it."""
        self.hide()
        self._watch.shutdown()

    @Slot(float)
    def _goes_on(self, share: float) -> None:
        self.words.setText(said_of_work(self._work, waiting=self._watch.waiting))
        self.bar.show_share(share)

    @Slot()
    def _give_up(self) -> None:
        self.shutdown()
        self.stopped.emit()

    @Slot(object)
    def _finished(self, result: object) -> None:
        self.hide()
        self.finished.emit(result)

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        self.hide()
        self.failed.emit(sentence)
