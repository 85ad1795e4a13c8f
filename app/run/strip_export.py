"""Posture strips as a picture file: of the run at hand, or of two runs that stand side by side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.export import Written
from analysis.jobs.hiding import check_shown
from analysis.jobs.strips import StripJob
from analysis.values.errors import CinderlaneError
from analysis.values.run import Run
from analysis.values.words import tr
from app import asking
from app.bench import Bench
from app.run.audience_dialog import AudienceDialog
from app.run.writer import Writer


@dataclass(frozen=True)
class StripsWanted:
    """The runs whose strips are to be written, the upper one first; ``why_not``: where they can't be."""

    runs: tuple[Run, ...] = ()
    why_not: str = ""


class StripExport(QObject):
    """Asks who will see it and where to, starts the work. ``wanted``: gives what is to be written now."""

    def __init__(
        self, bench: Bench, writer: Writer, title: str, wanted: Callable[[], StripsWanted], window: QWidget
    ) -> None:
        super().__init__(window)
        self._bench, self._writer, self._window = bench, writer, window
        self._title, self._wanted = title, wanted
        words = tr("A picture, PNG: the frames of the tagged events in a row, with what is drawn on them.")
        self.dialog = AudienceDialog(window, title, words)
        self.dialog.accepted.connect(self._begin)

    @Slot()
    def ask(self) -> None:
        """Ask who will see it; says why where there is nothing to write."""
        if self._runs() is not None:
            self.dialog.show()

    @Slot()
    def _begin(self) -> None:
        runs, project, audience = self._runs(), self._bench.path, self.dialog.choice.audience
        if runs is None or project is None:
            return
        try:
            check_shown(self._bench.project, runs, audience)
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
            return
        path = asking.place_to_save(self._window, self._title, tr("Picture"), ".png")
        if path is not None:
            job = StripJob(project, [run.id for run in runs], path, audience)
            self._writer.start(job, tr("Writing the posture strip…"), _came, _given_up())

    def _runs(self) -> tuple[Run, ...] | None:
        wanted = self._wanted()
        if wanted.why_not:
            self._bench.said.emit(wanted.why_not)
        return None if wanted.why_not or self._writer.refuses() else wanted.runs


def _came(written: Written) -> str:
    return tr("The posture strip is in {path}.").format(path=written.path)


def _given_up() -> str:
    return tr("The posture strip was given up; nothing of it is left.")
