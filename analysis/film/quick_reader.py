"""A reader that has a small picture at hand while the full one is still being decoded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from threading import Lock

from analysis.film.freed_memory import hold_freed_memory
from analysis.film.picture import FrameLocks, Picture, PictureMaker
from analysis.film.reader import BUDGET_BYTES, FrameReader
from analysis.film.small_pictures import SmallPictures
from analysis.values.film import Film

_SMALL_SHARE = 0.4
"""Small pictures take at most so much of the memory."""

_LISTED_BYTES = 800
"""What the list of a film's frames takes for each of them (measured: 750 over 72,000 frames)."""

_FRAMES_SHARE = 0.1
"""Decoded frames get at least so much, however much the decoders hold."""

_NEAR = (0, 1, -1)
"""Which frames from the one on show are kept as pictures, so that a step finds its own."""

_PICTURES = len(_NEAR) + 4
"""How many full pictures have memory at the most: those, the one on show and the coming one of each maker."""


class Grade(Enum):
    """How much of a frame a picture shows: all of it, as much as a screen does, or less."""

    FULL = "full"
    SCREEN = "screen"
    SMALL = "small"


@dataclass(frozen=True)
class AtHand:
    """A picture that was there without decoding."""

    picture: Picture
    grade: Grade


class QuickReader:
    """Full pictures as FrameReader gives them, and small ones of a stretch, within one budget.

    Made, used and closed on one thread; ``at_hand`` may be called on one other thread, until it is closed.
    The parameters are those of FrameReader; ``budget_bytes`` holds for decoded frames, for small pictures,
    for the film's list of frames and for what the decoders hold, reckoned at the most, all together. Of films
    larger than a screen frames are kept at the size of a screen, and only the nearest few in full.

    Raises FilmError or MissingFilmError when the film can't be opened any more.
    """

    def __init__(
        self,
        film: Film,
        budget_bytes: int = BUDGET_BYTES,
        threads: int = 0,
        stopped: Callable[[], bool] | None = None,
    ) -> None:
        hold_freed_memory()
        self._film = film
        self._budget = budget_bytes
        self._threads = threads
        self._stopped = stopped
        converting = FrameLocks()
        self._full = FrameReader(film, budget_bytes, threads, stopped, screen_size=True, locks=converting)
        # goes through the stretch, so that the other stays where it is
        self._runner: FrameReader | None = None
        self._maker_at_hand = PictureMaker(film, converting)
        self._at_hand_free = Lock()
        self._at_hand_warm = False  # the maker at hand has memory for its pictures
        self._maker_near = PictureMaker(film, converting)
        self._near: dict[int, AtHand] = {}
        self._smalls = SmallPictures(film, PictureMaker(film), self._small_budget)
        self.ready_stretch = self._full.ready_stretch
        self.prepare = self._full.prepare
        self._share()

    @property
    def kept_bytes(self) -> int:
        """Decoded frames and pictures kept now, in bytes; what the decoders hold comes on top."""
        near = sum(one.picture.nbytes for one in tuple(self._near.values()))
        return self._full.cached_bytes + self._smalls.bytes + near

    @property
    def decoder_bytes(self) -> int:
        """What one decoder holds, in bytes, reckoned at the most; there are two while small ones are made."""
        return self._full.decoder_bytes

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

    def at_hand(self, number: int, *, light: bool = False) -> AtHand | None:
        """The best picture of that very frame that needs no decoding; None where there is none.

        ``light``: rather the one that takes the least to convert and to paint.
        """
        if light and (small := self._smalls.picture(number)) is not None:
            return AtHand(small, Grade.SMALL)
        near = self._near.get(number)
        if near is not None and (near.grade is Grade.FULL or not self._full.is_whole(number)):
            return near
        with self._at_hand_free:
            kept = self._of_kept(number, self._maker_at_hand)
        if kept is not None:
            return kept
        small = self._smalls.picture(number)
        return None if small is None else AtHand(small, Grade.SMALL)

    def picture(self, number: int) -> Picture:
        """The shown picture of a frame, as FrameReader gives it; kept while the frame is on show or next."""
        self.travel_to(number)
        near = self._near.get(number)
        if near is None or near.grade is not Grade.FULL:
            near = AtHand(self._maker_near.full(self._full.decoded(number)), Grade.FULL)
            self._near[number] = near
        return near.picture

    def travel_to(self, number: int) -> None:
        """The frame on show is now ``number``: keep what is near it."""
        self._full.travel_to(number)
        for far in [other for other in self._near if other - number not in _NEAR]:
            del self._near[far]

    def make_near(self, number: int) -> bool:
        """Make a picture of a frame next to ``number``, or of itself, of what is decoded already; False when
        none is left to be made. A picture of 8 MB may come from the system page by page: that holds up this
        thread, then, and not the window's.
        """
        for near in (number + by for by in _NEAR):
            if near not in self._near and (made := self._of_kept(near, self._maker_near)) is not None:
                self._near[near] = made
                return True
        return self._warm_up(number)

    def _warm_up(self, number: int) -> bool:
        """Let the maker at hand take memory for its pictures, of which two are there at once; False when it
        has some. The window would wait for it at its first steps.
        """
        if self._at_hand_warm or self._full.kept(number) is None:
            return False
        with self._at_hand_free:
            first = self._of_kept(number, self._maker_at_hand)
            second = self._of_kept(number, self._maker_at_hand)
        self._at_hand_warm = first is not None and second is not None
        return self._at_hand_warm

    def make_small(self) -> bool:
        """Make one small picture more; False when none is left to be made."""
        if not self._smalls.missing:
            return False
        more = self._smalls.make_one(self._running().decoded)
        if not more:
            self._stop_running()
        return more

    def close(self) -> None:
        """Give file and memory back. May be called twice."""
        self._stop_running()
        self._smalls.clear()
        self._near.clear()
        self._full.close()

    def _of_kept(self, number: int, maker: PictureMaker) -> AtHand | None:
        kept = self._full.kept(number)
        if kept is None:
            return None
        frame, whole = kept
        if whole:
            return AtHand(maker.full(frame), Grade.FULL)
        return AtHand(maker.of_kept(frame), Grade.SCREEN)

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
        # From the beginning no more than what is left when all else is there: a decoder never gives back the
        # memory of frames that were let go, it uses it again.
        left = self._budget - self._smalls.planned_bytes - _LISTED_BYTES * self._film.frames
        width, height = self._film.shown_size
        beside = 2 * self.decoder_bytes + _PICTURES * width * height * 4
        self._full.limit(max(left - beside, int(left * _FRAMES_SHARE)))
