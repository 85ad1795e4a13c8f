"""A reader that has a small picture at hand while the full one is still being decoded."""

from __future__ import annotations

from collections.abc import Callable

from analysis.film.picture import Picture, PictureMaker
from analysis.film.reader import BUDGET_BYTES, FrameReader
from analysis.film.small_pictures import SmallPictures
from analysis.values.film import Film

_SMALL_SHARE = 0.4
"""Small pictures take at most so much of the memory."""


class QuickReader:
    """Full pictures as FrameReader gives them, and small ones of a stretch, within one budget.

    Made, used and closed on one thread. The parameters are those of FrameReader; ``budget_bytes`` holds for
    decoded frames and small pictures together.

    Raises FilmError or MissingFilmError when the film can't be opened any more.
    """

    def __init__(
        self,
        film: Film,
        budget_bytes: int = BUDGET_BYTES,
        threads: int = 0,
        stopped: Callable[[], bool] | None = None,
    ) -> None:
        self._film = film
        self._budget = budget_bytes
        self._threads = threads
        self._stopped = stopped
        self._full = FrameReader(film, budget_bytes, threads, stopped)
        self._runner: FrameReader | None = (
            None  # goes through the stretch, so that the other stays where it is
        )
        self._smalls = SmallPictures(film, PictureMaker(film), self._small_budget)
        self.picture = self._full.picture
        self.small = self._full.small
        self.is_ready = self._full.is_ready
        self.ready_stretch = self._full.ready_stretch
        self.prepare = self._full.prepare

    @property
    def kept_bytes(self) -> int:
        """Decoded frames and small pictures kept now, in bytes."""
        return self._full.cached_bytes + self._smalls.bytes

    def limit(self, budget_bytes: int) -> None:
        """Keep no more than this from now on; name the stretch anew to have its small pictures again."""
        self._budget = budget_bytes
        self._smalls.limit(self._small_budget)
        self._stop_running()
        self._share()

    def cover(self, first: int, last: int) -> None:
        """Make small pictures of these frames from now on, of 15 s at most."""
        self._smalls.cover(first, last)
        self._share()

    def quick(self, number: int) -> Picture | None:
        """The small picture of that very frame, if it is made already."""
        return self._smalls.picture(number)

    def make_small(self) -> bool:
        """Make one small picture more; False when none is left to be made."""
        if not self._smalls.missing:
            return False
        more = self._smalls.make_one(self._running().decoded)
        self._share()
        if not more:
            self._stop_running()
        return more

    def close(self) -> None:
        """Give file and memory back. May be called twice."""
        self._stop_running()
        self._smalls.clear()
        self._full.close()

    @property
    def _small_budget(self) -> int:
        return int(self._budget * _SMALL_SHARE)

    def _running(self) -> FrameReader:
        if self._runner is None:
            self._runner = FrameReader(self._film, 1, self._threads, self._stopped)
        return self._runner

    def _stop_running(self) -> None:
        if self._runner is not None:
            self._runner.close()
            self._runner = None

    def _share(self) -> None:
        self._full.limit(self._budget - self._smalls.bytes)
