"""The picture of frame i, exactly, however it is reached."""

from __future__ import annotations

import threading
from bisect import bisect_right
from collections.abc import Callable, Iterator
from contextlib import suppress
from types import TracebackType
from typing import Self

from av.video.frame import PictureType, VideoFrame

from analysis.film.colours import colours_of
from analysis.film.decoding import DamageMetError, Decoder
from analysis.film.frame_cache import FrameCache
from analysis.film.picture import FrameLocks, Picture, PictureMaker, screen_width
from analysis.film.unfit import Refusal, why_unfit
from analysis.values.errors import FilmError, FrameError
from analysis.values.film import Film
from analysis.values.words import tr

BUDGET_BYTES = 1_500_000_000
"""What all films on show together may hold, in bytes; one reader alone may hold it all."""

_WHOLE_SHARE = 0.15
"""Of a film larger than a screen so much of the memory goes to frames in full size."""

_SEEK_COSTS_FRAMES = 4
"""Going on is quicker than seeking when at most so many frames more must be decoded."""

_PASSED_BY = 2
"""A frame that decoding from two different key frames passes by is not there."""

_LOOKED_ON = 20
"""So many frames on it is looked for one that was passed by."""

_WHOLE = {PictureType.NONE, PictureType.I, PictureType.SI, PictureType.BI}
"""Kinds of pictures that refer to no other; some decoders don't say."""


class ReadingStopped(Exception):  # noqa: N818 - a wish that was heeded, no error
    """Decoding was given up because ``stopped`` said so; no error of the film."""


class FrameReader:
    """Gives the shown picture of any frame of a film.

    Made, used and closed on one thread, and asserts it. Every picture is the one whose stored time is that of
    the frame, however it is reached. ``budget_bytes``: decoded frames that are kept. ``threads``: how many
    decode, 0 for as many as there are processors, 1 beside other work. ``stopped``: asked between frames;
    when it says yes, ReadingStopped is raised. ``screen_size``: keep frames that are larger than a screen at
    the size of a screen, and only the nearest few in full. ``locks``: see PictureMaker.

    Raises FilmError or MissingFilmError when the film can't be opened any more.
    """

    def __init__(
        self,
        film: Film,
        budget_bytes: int = BUDGET_BYTES,
        threads: int = 0,
        stopped: Callable[[], bool] | None = None,
        *,
        screen_size: bool = False,
        locks: FrameLocks | None = None,
    ) -> None:
        self._thread = threading.get_ident()
        self._film = film
        self._stopped = stopped
        self._numbers = {entry.pts: number for number, entry in enumerate(film.index)}
        self._keys = [number for number, entry in enumerate(film.index) if entry.key]
        self._lost: set[int] = set()
        self._out_of_turn: set[int] = set()  # came behind frames whose times are later
        self._unfit: dict[int, Refusal] = {}  # of those met so far
        self._kept_width = screen_width(film) if screen_size else None
        self._cache = FrameCache(budget_bytes)  # what is made ready ahead
        self._whole = self._cache if self._kept_width is None else FrameCache(budget_bytes)
        self.limit(budget_bytes)
        self._make = PictureMaker(film, locks)
        times = tuple(entry.pts for entry in film.index) if film.counted else None
        self._decoder = Decoder(film.path, film.stream, times, threads, film.reordered)
        self._at = -1  # the frame that the decoder gave last, whole as all after it; behind the film: none
        self._key_time: tuple[int, int] | None = None  # a key frame being looked for lies after, up to
        self._key_kind: PictureType | None = None
        self._fresh = True  # the decoder stands at the beginning of the file
        self._open = True

    @property
    def film(self) -> Film:
        """The film that is read."""
        return self._film

    def limit(self, budget_bytes: int) -> None:
        """Keep no more than this from now on."""
        self._check_thread()
        if self._whole is not self._cache:
            whole = int(budget_bytes * _WHOLE_SHARE)
            self._whole.limit(whole)
            budget_bytes -= whole
        self._cache.limit(budget_bytes)

    @property
    def cached_bytes(self) -> int:
        """Decoded frames kept now, in bytes."""
        return self._cache.bytes + (0 if self._whole is self._cache else self._whole.bytes)

    @property
    def decoder_bytes(self) -> int:
        """What the decoder holds beside the frames that are kept, in bytes, reckoned at the most."""
        return self._decoder.held_bytes

    def __enter__(self) -> Self:
        self._check_thread()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Give file and memory back. May be called twice."""
        self._check_thread()
        self._open = False
        self._cache.clear()
        self._whole.clear()
        self._decoder.close()

    def decoded(self, number: int) -> VideoFrame:
        """A frame as the decoder made it. Raises as ``picture`` does."""
        return self._frame(number)

    def picture(self, number: int) -> Picture:
        """The shown picture of a frame: (height, width, 4) uint8, blue, green, red, 255; fresh, C-contiguous.

        Turn, mirror and pixel aspect are applied. Raises FrameError outside the film, FilmError where the
        film is damaged at that frame, UnfitFrameError where it can't stand among the others.
        """
        return self._make.full(self._frame(number))

    def small(self, number: int, max_width: int) -> Picture:
        """As ``picture``, scaled down to at most ``max_width`` pixels wide."""
        return self._make.small(self._frame(number), max_width)

    def kept(self, number: int) -> tuple[VideoFrame, bool] | None:
        """A frame that is decoded already, and whether in full size; may be asked on any thread."""
        whole = self._whole.get(number)
        if whole is not None:
            return whole, True
        smaller = self._cache.get(number)
        return None if smaller is None else (smaller, False)

    def is_whole(self, number: int) -> bool:
        """Whether a frame is decoded already and kept in full size; may be asked on any thread."""
        return number in self._whole

    def travel_to(self, number: int) -> None:
        """The frame on show is now ``number``: keep what is near it."""
        self._check_thread()
        self._cache.travel_to(number)
        self._whole.travel_to(number)

    def ready_stretch(self, number: int, ahead: int) -> int:
        """How many frames on from ``number`` (back, where ``ahead`` is negative) are ready without a gap.

        At most ``abs(ahead)``, which is also the answer where film or memory hold no more.
        """
        self._check_thread()
        missing = self._first_missing(number, ahead)
        return abs(ahead) if missing is None else abs(missing - number) - 1

    def prepare(self, number: int, ahead: int) -> bool:
        """Decode one frame more of those that will be wanted next; False when nothing is left to do.

        ``number``: the frame on show; ``ahead``: how many frames after it (before it, when negative) are to
        be ready. Only as many as fit into the memory are made ready.
        """
        self._check_thread()
        missing = self._first_missing(number, ahead)
        if missing is None:
            return False
        try:
            frame = self._step() if self._on_the_way_to(missing) else self._land(self._place_of_key(missing))
        except DamageMetError:
            self._go_alone()
            return True
        if frame is None or self._at > missing:
            with suppress(FilmError):  # said when the frame itself is asked for
                self._decoded(missing)
        return True

    def _first_missing(self, number: int, ahead: int) -> int | None:
        count = min(abs(ahead), self._cache.room_towards(ahead))
        step = 1 if ahead > 0 else -1
        for wanted in range(number + step, number + step * (count + 1), step):
            if not 0 <= wanted < self._film.frames:
                return None
            if wanted not in self._cache and wanted not in self._lost and wanted not in self._unfit:
                return wanted
        return None

    def _frame(self, number: int) -> VideoFrame:
        self._check_thread()
        if not 0 <= number < self._film.frames:
            raise FrameError(
                tr("Frame {frame} is not in the film, which has frames 0 to {last}.").format(
                    frame=number, last=self._film.frames - 1
                )
            )
        self.travel_to(number)
        return self._decoded(number)

    def _decoded(self, number: int) -> VideoFrame:
        kept = self._whole.get(number)
        if kept is not None:
            return kept
        if number not in self._lost and number not in self._unfit:
            try:
                frame = self._sought(number)
            except DamageMetError:
                self._go_alone()
                frame = self._sought(number)
            if frame is None:
                self._lost.add(number)
            elif number not in self._unfit:
                return frame
        if number in self._unfit:
            raise self._unfit[number](number)
        if number in self._out_of_turn:
            raise FilmError(
                tr(
                    "Frame {frame} is not shown: the file gives it a time before that of frames that come "
                    "earlier. Use the file that the camera wrote, or export it again."
                ).format(frame=number)
            )
        raise FilmError(
            tr(
                "The film is damaged at frame {frame}, which can't be shown. Copy it from the phone again."
            ).format(frame=number)
        )

    def _sought(self, number: int) -> VideoFrame | None:
        frame = self._advance_to(number) if self._on_the_way_to(number) else None
        frame = frame or self._from_a_key(number)
        if frame is None:
            self._look_on(number)
        return frame

    def _look_on(self, number: int) -> None:
        """Whether a frame that was passed by comes behind later ones, no damage being known of it."""
        if self._film.index[number].pts in self._decoder.whole.hurt:
            return
        for _ in range(_LOOKED_ON):
            if number in self._out_of_turn or self._step() is None:
                return

    def _go_alone(self) -> None:
        """One thread decodes from now on: several don't tell which frames of a damaged film are whole."""
        self._decoder.go_alone()
        self._at, self._fresh = -1, True

    def _on_the_way_to(self, number: int) -> bool:
        """Whether going on is the quickest way."""
        if self._at >= number:
            return False
        place = self._place_of_key(number)
        key = self._keys[place] if place >= 0 else 0
        return key - self._at <= _SEEK_COSTS_FRAMES

    def _place_of_key(self, number: int) -> int:
        """Place in the list of keys of the last one at or before the frame; -1 before the first."""
        return bisect_right(self._keys, number) - 1

    def _from_a_key(self, number: int) -> VideoFrame | None:
        """Decode from the key frame before; from earlier ones while that doesn't lead there."""
        passed_by = 0
        for key in self._earlier_keys(number):
            frame = self._land(bisect_right(self._keys, key) - 1)
            if frame is None or self._at > number:
                continue
            if self._at < number:
                frame = self._advance_to(number)
            if frame is not None:
                return frame
            passed_by += 1
            if passed_by == _PASSED_BY or self._film.index[number].pts in self._decoder.whole.hurt:
                return None
        return None

    def _earlier_keys(self, number: int) -> Iterator[int]:
        """Key frames at or before a frame, in ever longer strides; at last the beginning of the film."""
        place, back = self._place_of_key(number), 1
        keys = self._keys[: place + 1]
        while place > 0:
            yield keys[place]
            place -= back
            back *= 2
        yield 0

    def _land(self, place: int) -> VideoFrame | None:
        """Send the decoder to a key frame, or to the beginning for the first; the frame there, else None."""
        if place > 0:
            return self._enter(place, self._keys[place])
        # Opening anew is safe, but leaves the memory of the frames decoded before with the decoder before.
        if not self._fresh and not self._film.counted:
            frame = self._enter(0, 0)
            if frame is not None:
                return frame
        self._at = -1
        if not self._fresh:
            self._decoder.begin()
        return self._step()

    def _enter(self, place: int, key: int) -> VideoFrame | None:
        """The frame ``key``, whole, by seeking; None where that does not lead there."""
        self._at = self._film.frames  # nowhere, should decoding be given up before the key frame is seen
        self._watch_for(key)
        self._decoder.seek(self._film.index[key].pts)
        frame = self._next(key - 1)  # pictures shown before it refer to others that were not decoded
        landed, self._at = self._at, self._film.frames
        if frame is None or landed != key:
            return None  # behind it, what comes may be before another key frame, and not whole either
        if self._key_kind not in _WHOLE:
            # Films without whole pictures mark places from which decoding heals bit by bit: not exactly.
            if place > 0:
                self._keys.pop(place)
            return None
        self._at = key
        self._keep(key, frame)
        return frame

    def _advance_to(self, number: int) -> VideoFrame | None:
        """Decode forwards; None where the frame does not come."""
        while self._at < number:
            frame = self._step()
            if frame is None:
                return None
            if self._at == number:
                return frame
        return None

    def _step(self) -> VideoFrame | None:
        """Decode the next frame that belongs to the film and keep it; None at the end."""
        frame = self._next()
        if frame is not None:
            self._keep(self._at, frame)
        return frame

    def _keep(self, number: int, frame: VideoFrame) -> None:
        refusal = why_unfit(frame, self._film)
        if refusal is not None:
            self._unfit[number] = refusal
            return
        if self._kept_width is not None and number not in self._cache:
            self._cache.put(number, self._make.to_keep(frame, self._kept_width))
        self._whole.put(number, frame)

    def _next(self, after: int | None = None) -> VideoFrame | None:
        """Decode the next frame that belongs to the film and lies ``after`` one; None at the end."""
        going_on = after is None
        after = self._at if after is None else after
        while True:
            if self._stopped is not None and self._stopped():
                raise ReadingStopped
            self._fresh = False
            frame = self._decoder.next()
            if frame is None:
                self._at = self._film.frames
                return None
            if colours_of(frame) != self._film.colours:
                self._decoder.meet_other_colours()
            self._note_kind(frame)
            number = None if frame.pts is None else self._numbers.get(frame.pts)
            # a time that stands twice belongs to the first of the two
            if number is None or number <= after:
                if number is not None and number < after and going_on:
                    self._out_of_turn.add(number)
                continue
            self._at = number
            return frame

    def _watch_for(self, key: int) -> None:
        # Where repeated pictures are left out, the key frame itself may be one of them.
        time = self._film.index[key].pts
        before = self._film.index[key - 1].pts if key > 0 else time - 1
        self._key_time, self._key_kind = (before, time), None

    def _note_kind(self, frame: VideoFrame) -> None:
        if self._key_time is None or self._key_kind is not None or frame.pts is None:
            return
        after, upto = self._key_time
        if after < frame.pts <= upto:
            self._key_kind = PictureType(frame.pict_type)

    def _check_thread(self) -> None:
        if threading.get_ident() != self._thread:
            raise RuntimeError("A FrameReader is used on the thread that made it, and on no other.")
