"""Small pictures of a whole stretch, so that a jump shows the very frame at once."""

from __future__ import annotations

from collections.abc import Callable

from av.video.frame import VideoFrame

from analysis.film.picture import Picture, PictureMaker
from analysis.values.errors import FilmError
from analysis.values.film import Film

LONGEST_S = 15.0
"""Small pictures are made of so many seconds of capture time at most."""

WIDTHS = (960, 800, 640, 480, 400, 320, 240, 160)
"""Widths in pixels that are tried, the largest first: a short stretch has room for larger ones."""

_BYTES_PER_PIXEL = 1.5
"""They are kept as a decoder would: brightness of every pixel, colour of every fourth."""


class SmallPictures:
    """Small pictures of the frames of a stretch, made one by one and kept.

    Used on one thread, but ``picture`` may be called on any one. ``budget_bytes``: the most that is kept.
    """

    def __init__(self, film: Film, make: PictureMaker, budget_bytes: int) -> None:
        self._film = film
        self._make = make
        self._budget = budget_bytes
        self._frames: dict[int, VideoFrame] = {}
        self._bytes = 0
        self._stretch = range(0)
        self._next = 0
        self._width = 0

    @property
    def bytes(self) -> int:
        """What is kept now, in bytes."""
        return self._bytes

    @property
    def planned_bytes(self) -> int:
        """What is kept when all pictures of the stretch are made, in bytes, as nearly as can be told."""
        return round(len(self._stretch) * self._bytes_of_one(self._width)) if self._width else 0

    @property
    def missing(self) -> bool:
        """Whether there are pictures to be made yet."""
        return self._next < self._stretch.stop

    def cover(self, first: int, last: int) -> None:
        """Make pictures of these frames from now on; of the first 15 s where they are more.

        Those of other frames are let go, and all where another size fits the new stretch.
        """
        times = self._film.facts.times
        first = min(max(first, 0), self._film.frames - 1)
        end = times.last_at_or_before(float(times.seconds[first]) + LONGEST_S)
        last = max(first, min(last, int(end)))
        width = self._fitting_width(last - first + 1)
        if width != self._width:
            self._let_go_outside(range(0))
        last = min(last, first + max(1, int(self._budget // self._bytes_of_one(width))) - 1)
        self._width = width
        self._stretch = range(first, last + 1)
        self._let_go_outside(self._stretch)
        self._next = first

    def picture(self, number: int) -> Picture | None:
        """The small picture of a frame, if it is made."""
        kept = self._frames.get(number)
        return None if kept is None else self._make.of_kept(kept)

    def make_one(self, decoded: Callable[[int], VideoFrame]) -> bool:
        """Make the next picture; False when none is left to be made.

        ``decoded``: gives the decoded frame of a number, or raises FilmError; asked in rising order.
        """
        while self._next in self._frames:
            self._next += 1
        if not self.missing:
            return False
        try:
            frame = decoded(self._next)
        except FilmError:  # said when the frame itself is asked for
            self._next += 1
            return self.missing
        kept = self._make.to_keep(frame, self._width)
        self._frames[self._next] = kept
        self._bytes += _size(kept)
        self._next += 1
        return self.missing

    def limit(self, budget_bytes: int) -> None:
        """Keep no more than this from now on; where that is less than is kept, all is let go."""
        self._budget = budget_bytes
        if self._bytes > budget_bytes:
            self.clear()

    def clear(self) -> None:
        """Let go of everything; nothing is left to be made."""
        self._stretch = range(0)
        self._let_go_outside(self._stretch)

    def _let_go_outside(self, stretch: range) -> None:
        self._frames = {number: kept for number, kept in self._frames.items() if number in stretch}
        self._bytes = sum(map(_size, self._frames.values()))

    def _fitting_width(self, frames: int) -> int:
        shown = self._film.shown_size[0]
        fits = [w for w in WIDTHS if w < shown and frames * self._bytes_of_one(w) <= self._budget]
        return fits[0] if fits else min(WIDTHS[-1], shown)

    def _bytes_of_one(self, width: int) -> float:
        shown_width, shown_height = self._film.shown_size
        return _BYTES_PER_PIXEL * width * max(1, round(width * shown_height / shown_width))


def _size(frame: VideoFrame) -> int:
    return sum(plane.buffer_size for plane in frame.planes)
