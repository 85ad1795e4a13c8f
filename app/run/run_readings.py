"""Readings of runs beside those on show, one after the other, so that the window answers meanwhile."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from analysis.values.reading import Reading
from app.bench import Bench, Look


class RunReadings(QObject):
    """Keeps what was read of each run; one that has not changed is not read again.

    Signals:
        came(): all that was asked for is read.
        went_on(): one was read, and others are still to be.
    """

    came = Signal()
    went_on = Signal()

    def __init__(self, bench: Bench, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._looks: dict[str, Look] = {}
        self._todo: list[str] = []
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._read_next)

    @property
    def to_go(self) -> int:
        """How many runs are still to be read."""
        return len(self._todo)

    def want(self, run_ids: Iterable[str]) -> None:
        """Read these, each as it stands now."""
        self._todo = list(dict.fromkeys(run_ids))
        self._timer.start()

    def know(self, looks: Iterable[Look | None]) -> None:
        """These were read elsewhere."""
        self._looks |= {look.run.id: look for look in looks if look is not None}

    def stop(self) -> None:
        """Read nothing more; what was read stays."""
        self._todo = []
        self._timer.stop()

    def of(self, run_ids: Iterable[str]) -> list[Reading]:
        """The readings of these runs, as far as they are there and the runs still are."""
        looks = (self._looks.get(run_id) for run_id in run_ids if run_id in self._bench.project.runs)
        return [look.reading for look in looks if look is not None and look.reading is not None]

    @Slot()
    def _read_next(self) -> None:
        if self._todo:
            run_id = self._todo.pop(0)
            look = self._bench.look(run_id, self._looks.get(run_id))
            if look is not None:
                self._looks[run_id] = look
        if self._todo:
            self.went_on.emit()
            return
        self._timer.stop()
        self.came.emit()
