"""The work beside that looks for footfalls, and what it found of each film: proposals and ground strip."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from PySide6.QtCore import QObject, Signal, Slot

from analysis.jobs.draft_wish import wish_for
from analysis.jobs.drafted import Drafted, StripPicture, packed, read_drafted
from analysis.jobs.drafting import DraftingJob
from analysis.values.errors import CinderlaneError
from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.job_watch import JobWatch

_Film = tuple[Path | None, str]


@dataclass
class _Asked:
    """For which film and run the work goes on, under which key, and whether drafts are wanted of it or only
    the strip.
    """

    film: _Film
    run_id: str
    key: str
    drafts: bool


class DraftFinder(QObject):
    """Looks for footfalls beside the window and keeps what was found with the project.

    Signals:
        went_on(): it began, is further, or has ended.
        found(object): what was drafted for the run at hand.
        strip_changed(): the ground strip of the run at hand is another one.
    """

    went_on = Signal()
    found = Signal(object)
    strip_changed = Signal()

    def __init__(self, bench: Bench, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._kept: dict[_Film, tuple[str, Drafted] | None] = {}
        self._asked: _Asked | None = None
        self._watch = JobWatch(self)
        self._watch.went_on.connect(self._goes_on)
        self._watch.finished.connect(self._finished)
        self._watch.failed.connect(self._failed)
        bench.run_changed.connect(self._run_came)

    @property
    def busy(self) -> bool:
        """Whether footfalls are being looked for."""
        return self._watch.busy

    @property
    def progress(self) -> float:
        """How far that is, 0 to 1."""
        return self._watch.progress

    @property
    def waiting(self) -> bool:
        """Whether other work has to end first."""
        return self._watch.waiting

    @property
    def for_drafts(self) -> bool:
        """Whether drafts are wanted of what goes on, not the strip alone."""
        return self._asked is not None and self._asked.drafts

    @property
    def drafted(self) -> Drafted:
        """What is known of the film of the run at hand; a second tagging, by eye alone, is told nothing."""
        run = self._bench.run
        held = None if run is None or run.retags is not None else self._held(run)
        return Drafted() if held is None else held[1]

    @property
    def strip(self) -> StripPicture | None:
        """The ground strip of the run at hand, None until it was made."""
        return self.drafted.strip

    def find(self, *, drafts: bool) -> None:
        """Look for the footfalls of the run at hand, or take what was found for the same marks before.
        Without ``drafts`` its ground strip alone is wanted.
        """
        run, film = self._bench.run, self._bench.film
        if run is None or film is None:
            self._bench.said.emit(tr("Open a film first: footfalls are drafted from its pictures."))
        elif run.retags is not None:
            self._bench.said.emit(tr("A second tagging is by eye alone: it shows how exactly you tag."))
        elif self._asked is not None:
            self._asked.drafts |= drafts and self._asked.run_id == run.id
            self._bench.said.emit(tr("Footfalls are still being looked for. Cancel stops it."))
        else:
            self._find(run, Path(film.path), drafts)
        self.went_on.emit()

    def cancel(self) -> None:
        """Stop what goes on, and say so."""
        self._watch.cancel()

    def shutdown(self) -> None:
        """Stop what goes on."""
        self._asked = None
        self._watch.shutdown()

    def _find(self, run: Run, film: Path, drafts: bool) -> None:
        wish = wish_for(self._bench.project, run, film)
        held = self._held(run)
        if held is not None and held[0] == wish.key and wish.direction in (None, held[1].direction):
            if drafts:
                self.found.emit(held[1].beginning_with(wish.first_side))
            return
        self._asked = _Asked((self._bench.path, run.film_id), run.id, wish.key, drafts)
        self._watch.watch(DraftingJob(wish))

    def _held(self, run: Run) -> tuple[str, Drafted] | None:
        film = self._bench.path, run.film_id
        if film not in self._kept:
            self._kept[film] = None
            entry = self._bench.project.films.get(run.film_id)
            with suppress(CinderlaneError):  # what can't be read is made again when it is asked for
                kept = self._bench.latest_draft(run.film_id)
                film_key = "" if entry is None else wish_for(self._bench.project, run, Path()).film_key
                if kept is not None and entry is not None and kept[0].startswith(film_key):
                    self._kept[film] = kept[0], read_drafted(BytesIO(kept[1]))
        return self._kept[film]

    @Slot(object)
    def _finished(self, drafted: Drafted) -> None:
        asked, self._asked = self._asked, None
        if asked is None:
            return
        self._kept[asked.film] = asked.key, drafted
        path, film_id = asked.film
        if path == self._bench.path and not self._bench.read_only:
            with suppress(CinderlaneError):  # what can't be kept is made again after the window was closed
                self._bench.keep_draft(film_id, asked.key, packed(drafted))
        run = self._bench.run
        here = run is not None and run.id == asked.run_id
        if here:
            self.strip_changed.emit()
        if here and asked.drafts:
            self.found.emit(drafted)
        elif asked.drafts:
            self._bench.said.emit(
                tr("Another run came to hand while footfalls were looked for. Draft again.")
            )
        self.went_on.emit()

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        self._asked = None
        self._bench.said.emit(sentence)
        self.went_on.emit()

    @Slot(float)
    def _goes_on(self, share: float) -> None:
        self.went_on.emit()

    @Slot(object)
    def _run_came(self, run: Run | None) -> None:
        self.strip_changed.emit()
