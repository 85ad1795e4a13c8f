"""The one thread that decodes for a pane."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QImage

from analysis.film.picture import Picture
from analysis.film.quick_reader import QuickReader
from analysis.film.reader import BUDGET_BYTES, ReadingStopped
from analysis.values.errors import CinderlaneError
from analysis.values.film import Film
from analysis.values.words import tr

_log = logging.getLogger(__name__)

AHEAD = 120
"""Frames made ready in the direction of travel: half a second at 240, two stretches between key frames."""

BEHIND = 30
"""Frames made ready the other way, for the coach who turns round."""

IDLE_S = 0.2
"""Small pictures are made when nothing was asked for this long: they must hold up neither step nor play."""


class Reader(Protocol):
    """What the thread needs of a reader of frames."""

    def picture(self, number: int) -> Picture: ...
    def is_ready(self, number: int) -> bool: ...
    def quick(self, number: int) -> Picture | None: ...
    def cover(self, first: int, last: int) -> None: ...
    def make_small(self) -> bool: ...
    def limit(self, budget_bytes: int) -> None: ...
    def small(self, number: int, max_width: int) -> Picture: ...
    def ready_stretch(self, number: int, ahead: int) -> int: ...
    def prepare(self, number: int, ahead: int) -> bool: ...
    def close(self) -> None: ...


MakeReader = Callable[[Film, Callable[[], bool]], Reader]
"""Makes the reader of a film on the thread that calls; the function says whether to give up decoding."""


@dataclass(frozen=True)
class FrameRequest:
    """A picture that is wanted: its frame, and at most how wide (None: full size)."""

    number: int
    max_width: int | None = None


@dataclass(frozen=True)
class FrameReady:
    """A picture that came. ``small``: it is of that very frame, but the full one is still to come."""

    request: FrameRequest
    image: QImage
    small: bool = False

    @property
    def number(self) -> int:
        """The frame that the picture is of."""
        return self.request.number


@dataclass(frozen=True)
class FrameFailed:
    """A picture that can't come, and the sentence for the coach."""

    request: FrameRequest
    sentence: str


def image_of(picture: Picture) -> QImage:
    """The picture as an image that shares its memory; the array must not be written any more."""
    height, width, _ = picture.shape
    return QImage(picture.data, width, height, width * 4, QImage.Format.Format_RGB32)


class ReaderThread(QObject):
    """Serves one request at a time, the newest only, and makes ready what will be wanted next.

    Lives on the window's thread; what it says is said there. Signals: ``ready`` a FrameReady; ``failed``
    a FrameFailed; ``busy_changed`` whether the newest request still waits for its picture.
    ``make_reader``: how the reader is made on the thread (tests give their own).

    Where a stretch was named (``cover``) a picture that must first be decoded comes twice: small at once, as
    soon as it is made, then in full; a newer request that waits then takes the place of the full one.
    """

    ready = Signal(object)
    failed = Signal(object)
    busy_changed = Signal(bool)
    _answered = Signal()

    def __init__(
        self,
        film: Film,
        parent: QObject | None = None,
        make_reader: MakeReader | None = None,
    ) -> None:
        super().__init__(parent)
        self.film = film
        self._make_reader = make_reader or self._quick_reader
        self._wanted: FrameRequest | None = None  # what the window asked for last and has not got
        self._said_busy = False
        self._state = threading.Condition()  # guards the eight below
        self._slot: FrameRequest | None = None
        self._answer: FrameReady | FrameFailed | None = None
        self._stop = False
        self._started = False
        self._stretch: tuple[int, int] | None = None  # to be taken over by the thread
        self._budget = BUDGET_BYTES
        self._settled = False  # the thread waits and has nothing to do
        self._gives_way = False  # whether decoding ends when a newer request waits
        self._answered.connect(self._deliver)
        self._thread = threading.Thread(target=self._run, name="film reader", daemon=True)

    @property
    def settled(self) -> bool:
        """Whether all that was asked for is answered and nothing is left to be made ready."""
        with self._state:
            return self._settled and self._slot is None

    @property
    def busy(self) -> bool:
        """Whether the newest request still waits for its picture."""
        return self._wanted is not None

    def request(self, number: int, max_width: int | None = None) -> None:
        """Ask for a picture; a request that still waits is replaced. Nothing happens after ``shutdown``."""
        with self._state:
            if self._stop:
                return
            self._wanted = self._slot = FrameRequest(number, max_width)
            if not self._started:
                self._started = True
                self._thread.start()
            self._state.notify()
        self._say_busy()

    def limit(self, budget_bytes: int) -> None:
        """Keep no more than this of decoded frames and small pictures together, from now on."""
        with self._state:
            self._budget = budget_bytes
            self._state.notify()

    def cover(self, first: int, last: int) -> None:
        """Make small pictures of these frames in idle time, of 15 s at most; other ones are let go."""
        with self._state:
            self._stretch = (first, last)
            self._state.notify()

    def shutdown(self) -> None:
        """Stop, wake and wait; nothing is said any more. May be called twice."""
        with self._state:
            self._stop = True
            self._slot = self._answer = None
            self._state.notify()
        if self._started:
            self._thread.join()
        self._wanted = None

    @Slot()
    def _deliver(self) -> None:
        with self._state:
            answer, self._answer = self._answer, None
        if answer is None:  # a newer answer was taken already
            return
        small = isinstance(answer, FrameReady) and answer.small
        if answer.request == self._wanted and not small:
            self._wanted = None
        if isinstance(answer, FrameReady):
            self.ready.emit(answer)
        else:
            self.failed.emit(answer)
        self._say_busy()

    def _say_busy(self) -> None:
        if self.busy != self._said_busy:
            self._said_busy = self.busy
            self.busy_changed.emit(self.busy)

    # Everything below runs on the reader's thread.

    def _run(self) -> None:
        server = _Server(self.film, self._make_reader, self._stopping)
        try:
            while (request := self._next(server)) is not None:
                self._serve(server, request)
        except ReadingStopped:
            pass
        finally:
            server.close()

    def _serve(self, server: _Server, request: FrameRequest) -> None:
        small = server.small_first(request)
        if small is not None:
            self._post(small)
        self._gives_way = small is not None
        try:
            self._post(server.answer(request))
        except ReadingStopped:
            if self._stop:
                raise
            # The newer request is served; what was decoded on the way is kept.
        finally:
            self._gives_way = False

    def _stopping(self) -> bool:
        return self._stop or (self._gives_way and self._slot is not None)

    def _quick_reader(self, film: Film, stopped: Callable[[], bool]) -> Reader:
        return QuickReader(film, self._budget, stopped=stopped)

    def _next(self, server: _Server) -> FrameRequest | None:
        """The request in the slot, with work ahead of it until one comes; None when it is time to end."""
        while True:
            with self._state:
                if not self._stop and self._slot is None and not server.has_work:
                    self._settled = server.rest_s is None
                    self._state.wait(server.rest_s)
                    self._settled = False
                if self._stop:
                    return None
                request, self._slot = self._slot, None
                stretch, self._stretch = self._stretch, None
                budget = self._budget
            server.limit(budget)
            if stretch is not None:
                server.cover(*stretch)
            if request is not None:
                return request
            server.work()

    def _post(self, answer: FrameReady | FrameFailed) -> None:
        with self._state:
            if self._stop:
                return
            # Of two answers that the window has not taken yet it gets the newer one: no pile of pictures.
            self._answer = answer
        self._answered.emit()


class _Server:
    """The reader and what it does between requests; used on the reader's thread only."""

    def __init__(self, film: Film, make_reader: MakeReader, stopped: Callable[[], bool]) -> None:
        self._film = film
        self._make_reader = make_reader
        self._stopped = stopped
        self._reader: Reader | None = None
        self._at = 0
        self._direction = 1
        self._tasks: list[int] = []
        self._stretch: tuple[int, int] | None = None
        self._budget = BUDGET_BYTES
        self._smalls_missing = False
        self._answered_at = 0.0

    @property
    def has_work(self) -> bool:
        """Whether something can be made ready now, before it is asked for."""
        return bool(self._tasks) or self.rest_s == 0

    @property
    def rest_s(self) -> float | None:
        """Seconds to rest before small pictures are made; None where there are none to make."""
        if not self._smalls_missing or self._reader is None:
            return None
        return max(0.0, self._answered_at + IDLE_S - time.perf_counter())

    def limit(self, budget_bytes: int) -> None:
        """Keep no more than this."""
        if budget_bytes != self._budget:
            self._budget = budget_bytes
            if self._reader is not None:
                self._reader.limit(budget_bytes)
                if self._stretch is not None:
                    self.cover(*self._stretch)

    def cover(self, first: int, last: int) -> None:
        """Make small pictures of these frames when there is time."""
        self._stretch = (first, last)
        if self._reader is not None:
            self._reader.cover(first, last)
            self._smalls_missing = True

    def small_first(self, request: FrameRequest) -> FrameReady | None:
        """The small picture of a frame whose full one must first be decoded, if it is made."""
        if self._reader is None or request.max_width is not None or self._reader.is_ready(request.number):
            return None
        quick = self._reader.quick(request.number)
        return None if quick is None else FrameReady(request, image_of(quick), small=True)

    def answer(self, request: FrameRequest) -> FrameReady | FrameFailed:
        """The picture asked for, or why there is none."""
        self._tasks = []
        try:
            if self._reader is None:
                self._reader = self._make_reader(self._film, self._stopped)
                if self._stretch is not None:
                    self.cover(*self._stretch)
            if request.max_width is None:
                picture = self._reader.picture(request.number)
            else:
                picture = self._reader.small(request.number, request.max_width)
        except CinderlaneError as error:
            return FrameFailed(request, str(error))
        except ReadingStopped:
            raise
        except Exception:  # noqa: BLE001 - whatever it was, the window must not wait for ever
            _log.exception("a frame could not be read")
            return FrameFailed(request, tr("The picture can't be shown. Open the film again."))
        self._plan(self._reader, request.number)
        self._answered_at = time.perf_counter()
        return FrameReady(request, image_of(picture))

    def work(self) -> None:
        """One frame's worth of what was planned."""
        if self._reader is None:
            return
        ahead = bool(self._tasks)
        try:
            if ahead:
                more = self._reader.prepare(self._at, self._tasks[0])
            elif self.rest_s == 0:
                more = self._reader.make_small()
            else:
                return
        except ReadingStopped:
            raise
        except Exception:  # noqa: BLE001 - the frame itself is asked for later, and what is wrong said then
            more = False
        if ahead and not more:
            self._tasks.pop(0)
        elif not ahead:
            self._smalls_missing = more

    def close(self) -> None:
        """Give the file back."""
        if self._reader is not None:
            self._reader.close()
            self._reader = None

    def _plan(self, reader: Reader, number: int) -> None:
        if number != self._at:
            self._direction = 1 if number > self._at else -1
            self._at = number
        # Filling up begins when a quarter is used, so that a step does not send the decoder to and fro.
        stretches = (AHEAD * self._direction, -BEHIND * self._direction)
        self._tasks = [far for far in stretches if reader.ready_stretch(number, far) < abs(far) * 3 // 4]
