"""How good the film is: what the check found, one line a point, beside the facts of the run."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from analysis.jobs.film_check import FilmCheckJob
from analysis.report.film_quality import TITLE, film_quality
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.finding import Finding
from analysis.values.resolving import evidence_for
from analysis.values.words import tr, tr_count
from app.bench import Bench
from app.job_watch import JobWatch

_GRAVE = ("uneven repeats", "pace", "interlaced", "sizes")
"""Points of the check that are said over the film: numbers are false, or frames are not shown."""


class FilmPanel(QWidget):
    """Checks every film that comes on the bench, once it stands there a while; each film once.

    ``begin_after_ms``: how long it stands first; below 0 nothing is checked.
    Signals: found(): the check of the film at hand is done.
    """

    found = Signal()
    begin_after_ms = 1500

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._film: Film | None = None
        self._known: dict[str, tuple[Finding, ...]] = {}
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setAccessibleName(TITLE)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.words)
        self._begin = QTimer(self)
        self._begin.setSingleShot(True)
        self._begin.timeout.connect(self._check)
        self._watch = JobWatch(self)
        self._watch.finished.connect(self._checked)
        self._watch.failed.connect(self._unchecked)
        bench.film_changed.connect(self._show_film)
        bench.reading_changed.connect(self._marks_changed)
        self._show_film(bench.film)

    @property
    def findings(self) -> tuple[Finding, ...] | None:
        """What was found in the film at hand; None while it is not known. How fast the athlete goes says
        nothing of a drill's film: in a throw or a jump nobody runs past the camera.
        """
        found = None if self._film is None else self._known.get(_key(self._film))
        run = self._bench.run
        if found is None or run is None or not run.of_drill:
            return found
        return tuple(one for one in found if one.topic != "pace")

    @property
    def repeats(self) -> int:
        """How many times every picture of the film at hand stands, as far as is known."""
        finding = next((one for one in self.findings or () if one.topic == "repeats"), None)
        return 1 if finding is None or finding.value is None else int(finding.value)

    def showEvent(self, event: QShowEvent) -> None:
        """What was not worked out while nobody looked."""
        super().showEvent(event)
        self._say()

    def shutdown(self) -> None:
        """Stop what goes on."""
        self._begin.stop()
        self._watch.shutdown()

    @Slot(object)
    def _show_film(self, film: Film | None) -> None:
        if film is not None and self._film is not None and _key(film) == _key(self._film):
            return
        self.shutdown()
        self._film = film
        if film is not None and self.findings is None and self.begin_after_ms >= 0:
            self._begin.start(self.begin_after_ms)
        self._say()

    @Slot()
    def _check(self) -> None:
        run = self._bench.run
        entry = self._bench.project.films.get(run.film_id) if run is not None else None
        if self._film is not None and entry is not None:
            self._watch.watch(FilmCheckJob(self._film, entry.every or 1))
            self._say()

    @Slot(str)
    def _unchecked(self, _sentence: str) -> None:
        self._checked(())  # the panel says that it could not be checked

    @Slot(object)
    def _checked(self, found: tuple[Finding, ...]) -> None:
        assert self._film is not None
        self._known[_key(self._film)] = found
        self._say()
        found = self.findings or ()
        grave = [one.sentence for one in found if one.topic in _GRAVE]
        costly = sum(not one.good for one in found)
        if grave:
            self._bench.said.emit(grave[0])
        elif costly:
            self._bench.said.emit(
                tr_count(
                    "Film check: {count} point costs exactness. The tab Run says which.",
                    "Film check: {count} points cost exactness. The tab Run says which.",
                    costly,
                ).format(count=costly)
            )
        self.found.emit()

    @Slot()
    def _marks_changed(self) -> None:
        if self.isVisible():
            self._say()

    def _evidence(self) -> Evidence | None:
        run, facts = self._bench.run, self._bench.facts
        return None if run is None or facts is None else evidence_for(self._bench.project, run, facts)

    def _say(self) -> None:
        found = self.findings
        known = film_quality(found or (), self._evidence())
        # a mark of its own, since colour alone tells not everyone
        lines = [("\N{CHECK MARK} " if one.good else "! ") + one.sentence for one in known]
        parts = [TITLE] if lines else []
        if found is None and self._watch.busy:
            parts.append(tr("The film is being checked\N{HORIZONTAL ELLIPSIS}"))
        elif found == ():
            parts.append(tr("The film could not be checked."))
        self.words.setText("\n\n".join([*parts, *lines]))


def _key(film: Film) -> str:
    return f"{film.fingerprint} {film.capture_rate_hz} {film.rate_said_by} {film.frames}"
