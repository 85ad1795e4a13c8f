"""Pictures of a few frames of the film at hand, taken beside the window and kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from PySide6.QtCore import QObject, Signal, Slot

from analysis.jobs.pictures import PicturesJob
from analysis.values.film import Film
from analysis.values.run import Run
from app.bench import Bench
from app.job_watch import JobWatch

FilmKey = tuple[str, float | None, int]
FilmOf = Callable[[], tuple[Run | None, Film | None]]


class StripPictures(QObject):
    """Holds the pictures of one film by frame, as JPEG; another film's are let go.

    Signals:
        came(): there are more of them.
        went_on(float): so much of those asked for is taken, 0 to 1.
        failed(str): why they can't be taken.
    """

    came = Signal()
    went_on = Signal(float)
    failed = Signal(str)

    def __init__(self, bench: Bench, parent: QObject, film_of: FilmOf | None = None) -> None:
        """``film_of``: whose film; without it that of the run at hand."""
        super().__init__(parent)
        self._bench = bench
        self._film_of = self._at_hand if film_of is None else film_of
        self._film: FilmKey | None = None
        self._kept: dict[int, bytes] = {}
        self._asked: frozenset[int] = frozenset()
        self._watch = JobWatch(self)
        self._watch.went_on.connect(self.went_on)
        self._watch.finished.connect(self._came)
        self._watch.failed.connect(self._failed)

    @property
    def busy(self) -> bool:
        """Whether pictures are being taken."""
        return self._watch.busy

    @property
    def kept(self) -> Mapping[int, bytes]:
        """The pictures that are there."""
        return self._kept

    def want(self, frames: Iterable[int]) -> None:
        """Take the pictures of these frames of the film that are not there yet."""
        key = self._key()
        if key != self._film:
            self.forget()
            self._film = key
        missing = frozenset(frames) - self._kept.keys()
        if key is None or not missing or (self.busy and missing <= self._asked):
            return
        self._asked = missing
        path, rate, every = key
        self._watch.watch(PicturesJob(Path(path), missing, coach_rate_hz=rate, every=every))

    def forget(self) -> None:
        """Let go of everything, and stop what goes on."""
        self.shutdown()
        self._kept = {}
        self._film = None

    def shutdown(self) -> None:
        """Stop what goes on."""
        self._watch.shutdown()

    def _at_hand(self) -> tuple[Run | None, Film | None]:
        return self._bench.run, self._bench.film

    def _key(self) -> FilmKey | None:
        run, film = self._film_of()
        if run is None or film is None:
            return None
        entry = self._bench.project.films[run.film_id]
        return str(film.path), entry.coach_rate_hz, entry.every or 1

    @Slot(object)
    def _came(self, pictures: dict[int, bytes]) -> None:
        # one that can't be decoded is not asked for again
        self._kept |= dict.fromkeys(self._asked, b"") | pictures
        self.came.emit()

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        self.failed.emit(sentence)
