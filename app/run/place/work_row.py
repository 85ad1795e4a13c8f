"""One line for work that goes on beside the window: what it is, how far, and a way to stop it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QProgressBar, QPushButton, QWidget

from analysis.jobs.child import ChildJob, JobState
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr
from app.theme.tokens import Space

_LOOK_MS = 100
_STEPS = 1000
_BAR_PX = 8


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
        self._job: ChildJob[Any] | None = None
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.bar = QProgressBar(self)
        self.bar.setRange(0, _STEPS)
        self.bar.setTextVisible(False)
        self.bar.setFixedHeight(_BAR_PX)
        self.bar.setMinimumWidth(40)
        self.cancel = QPushButton(tr("Cancel"), self)
        self.cancel.clicked.connect(self._give_up)
        row = QHBoxLayout(self)
        row.setContentsMargins(Space.WIDE, Space.SMALL, Space.WIDE, Space.SMALL)
        row.setSpacing(Space.BASE)
        row.addWidget(self.words, 1)
        row.addWidget(self.bar, 1, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.cancel)
        self._look = QTimer(self)
        self._look.setInterval(_LOOK_MS)
        self._look.timeout.connect(self._ask)
        self.hide()

    @property
    def busy(self) -> bool:
        """Whether something goes on."""
        return self._job is not None

    def watch(self, job: ChildJob[Any], words: str) -> None:
        """Show how far a job is that was started; one that went on before is stopped."""
        self.shutdown()
        self._job = job
        self.words.setText(words)
        self.bar.setAccessibleName(words)
        self.cancel.setAccessibleName(tr("Stop: {what}").format(what=words))
        self.bar.setValue(0)
        self._look.start()
        self.show()

    def shutdown(self) -> None:
        """Stop what goes on; nothing is said of it."""
        self._look.stop()
        self.hide()
        if self._job is not None:
            self._job.close()
            self._job = None

    @Slot()
    def _give_up(self) -> None:
        self.shutdown()
        self.stopped.emit()

    @Slot()
    def _ask(self) -> None:
        job = self._job
        if job is None:
            return
        state = job.poll()
        self.bar.setValue(round(job.progress * _STEPS))
        if state is JobState.RUNNING:
            return
        try:
            result = job.result()
        except CinderlaneError as error:
            self.shutdown()
            self.failed.emit(str(error))
            return
        self.shutdown()
        self.finished.emit(result)
