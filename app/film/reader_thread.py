"""The one thread that decodes for a pane."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QImage

from analysis.film.freed_memory import give_freed_memory_back
from analysis.film.picture import Picture
from analysis.film.quick_reader import AtHand, Grade, QuickReader
from analysis.film.reader import BUDGET_BYTES, ReadingStopped
from analysis.values.errors import CinderlaneError
from analysis.values.film import Film
from analysis.values.words import tr
from app.film.ahead import direction_of, wishes_of
from app.film.giving_way import GivingWay

_log = logging.getLogger(__name__)

IDLE_S = 0.2
"""Small pictures are made when nothing was asked for this long: they must hold up neither step nor play."""

PAINT_S = 0.008
"""After a step or a jump the window paints so long; decoding ahead would take its processor."""

REST_S = 0.15
"""Where a picture as sharp as the screen is on show, the full one is decoded after so long a rest."""


class Reader(Protocol):
    """What the thread needs of a reader of frames; ``at_hand`` is called on the window's thread."""

    def picture(self, number: int) -> Picture: ...
    def at_hand(self, number: int, *, light: bool = False) -> AtHand | None: ...
    def travel_to(self, number: int) -> None: ...
    def cover(self, first: int, last: int) -> None: ...
    def make_small(self) -> bool: ...
    def make_near(self, number: int) -> bool: ...
    def limit(self, budget_bytes: int) -> None: ...
    def ready_stretch(self, number: int, ahead: int) -> int: ...
    def prepare(self, number: int, ahead: int) -> bool: ...
    def close(self) -> None: ...


MakeReader = Callable[[Film, Callable[[], bool]], Reader]
"""Makes the reader of a film on the thread that calls; the function says whether to give up decoding."""


@dataclass(frozen=True)
class FrameRequest:
    """A picture that is wanted. ``serial``: rises from one to the next. ``gives_way``: a picture of the frame
    is on show already, so that decoding ends when something newer is wanted. ``not_before``: when decoding
    may begin, in s.
    """

    number: int
    serial: int = field(default=0, compare=False)
    gives_way: bool = field(default=False, compare=False)
    not_before: float = field(default=0.0, compare=False)


@dataclass(frozen=True)
class FrameReady:
    """A picture that came. ``small``: it is of that very frame, but not in full size."""

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
    """Gives the picture of the frame asked for last, and makes ready what will be wanted next.

    Lives on the window's thread; what it says is said there. Signals: ``ready`` a FrameReady; ``failed``
    a FrameFailed; ``busy_changed`` whether the newest request still waits for its full picture.
    ``make_reader``: how the reader is made on the thread (tests give their own).

    A frame that is decoded already is said before ``request`` returns: it does not wait for what the thread
    has in hand. Of another frame the small picture is said at once, where a stretch was named (``cover``) and
    it is made; the thread then decodes the frame. One request waits at most, the newest.
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
        self._wanted: FrameRequest | None = None  # what the window asked for last and has not got in full
        self._said_busy = False
        self._serial = 0
        self._shown_serial = 0  # of the newest request of which a picture is on show
        self._state = threading.Condition()  # guards the ten below
        self._slot: FrameRequest | None = None
        self._answer: FrameReady | FrameFailed | None = None
        self._moved: tuple[int, bool] | None = None  # the frame on show, and whether the film is playing
        self._stop = False
        self._started = False
        self._stretch: tuple[int, int] | None = None  # to be taken over by the thread
        self._budget = BUDGET_BYTES
        self._settled = False  # the thread waits and has nothing to do
        self._serving: FrameRequest | None = None
        self._reader: Reader | None = None  # only to take from it what is at hand
        self._answered.connect(self._deliver)
        self._thread = threading.Thread(target=self._run, name="film reader", daemon=True)

    @property
    def settled(self) -> bool:
        """Whether all that was asked for is answered and nothing is left to be made ready."""
        with self._state:
            return self._settled and self._slot is None and self._moved is None

    @property
    def busy(self) -> bool:
        """Whether the newest request still waits for its full picture."""
        return self._wanted is not None

    def request(self, number: int, *, in_passing: bool = False, light: bool = False) -> None:
        """Ask for a picture; a request that still waits is replaced. Nothing happens after ``shutdown``.

        ``in_passing``: the film is playing, and a picture as sharp as the screen will do.
        ``light``: in passing a small picture will do, too.
        """
        if self._stop:
            return
        self._serial += 1
        reader = self._reader
        hand = reader.at_hand(number, light=light) if reader is not None else None
        grade = hand.grade if hand is not None else None
        enough = grade is Grade.FULL or (grade is Grade.SCREEN and in_passing) or (hand is not None and light)
        begin = time.perf_counter() + REST_S if grade is Grade.SCREEN else 0.0
        request = FrameRequest(number, self._serial, hand is not None, begin)
        self._wanted = None if enough else request
        with self._state:
            self._moved = (number, in_passing)
            self._slot = self._wanted
            if hand is not None:
                self._shown_serial, self._answer = self._serial, None
            if not self._started:
                self._started = True
                self._thread.start()
            self._state.notify()
        if hand is not None:
            self.ready.emit(FrameReady(request, image_of(hand.picture), small=grade is not Grade.FULL))
        self._say_busy()

    def limit(self, budget_bytes: int) -> None:
        """Keep no more than this of all that belongs to the film, from now on."""
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
        if answer is None:  # a newer one is on show already
            return
        self._shown_serial = answer.request.serial
        if answer.request is self._wanted:
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
        giving_way = GivingWay()
        server = _Server(self.film, self._make_reader, self._stopping)
        try:
            while (request := self._next(server)) is not None:
                self._serve(server, request)
                giving_way.begun()
                self._reader = server.reader
        except ReadingStopped:
            pass
        finally:
            self._reader = None
            server.close()

    def _serve(self, server: _Server, request: FrameRequest) -> None:
        self._serving = request
        try:
            answer = server.answer(request)
            self._reader = server.reader  # before the answer: the next request may ask for what is at hand
            self._post(answer)
        except ReadingStopped:
            if self._stop:
                raise
            # The newer request is served; what was decoded on the way is kept.
        finally:
            self._serving = None

    def _stopping(self) -> bool:
        serving = self._serving
        if self._stop or serving is None:
            return self._stop
        # A newer picture is on show, or at least this frame's own while something newer is wanted.
        return self._shown_serial > serving.serial or (serving.gives_way and self._serial > serving.serial)

    def _quick_reader(self, film: Film, stopped: Callable[[], bool]) -> Reader:
        return QuickReader(film, self._budget, stopped=stopped)

    def _next(self, server: _Server) -> FrameRequest | None:
        """The request whose time has come, with work ahead of it until then; None when it is time to end."""
        while True:
            with self._state:
                wait = self._rest_s(server)
                if not self._stop and self._moved is None and not server.has_work and wait != 0:
                    self._settled = wait is None
                    self._state.wait(wait)
                    self._settled = False
                if self._stop:
                    return None
                request = None
                if self._slot is not None and self._slot.not_before <= time.perf_counter():
                    request, self._slot = self._slot, None
                moved, self._moved = self._moved, None
                stretch, self._stretch = self._stretch, None
                budget = self._budget
            server.limit(budget)
            if stretch is not None:
                server.cover(*stretch)
            if moved is not None:
                server.travel_to(*moved)
            if request is not None:
                return request
            server.work()

    def _rest_s(self, server: _Server) -> float | None:
        """Seconds until something is to be done, for all that is known now; None for nothing."""
        rests = [server.rest_s]
        if self._slot is not None:
            rests.append(max(0.0, self._slot.not_before - time.perf_counter()))
        return min((rest for rest in rests if rest is not None), default=None)

    def _post(self, answer: FrameReady | FrameFailed) -> None:
        with self._state:
            # Something newer may be on show already. No pile of pictures: only the last answer waits.
            if self._stop or answer.request.serial < self._shown_serial:
                return
            self._answer = answer
        self._answered.emit()


class _Server:
    """The reader and what it does between requests; used on the reader's thread only."""

    def __init__(self, film: Film, make_reader: MakeReader, stopped: Callable[[], bool]) -> None:
        self._film = film
        self._make_reader = make_reader
        self._stopped = stopped
        self.reader: Reader | None = None
        self._at = 0
        self._direction = 0
        self._in_passing = False
        self._tasks: list[int] = []
        self._near_missing = False
        self._stretch: tuple[int, int] | None = None
        self._budget = BUDGET_BYTES
        self._smalls_missing = False
        self._moved_at = 0.0

    @property
    def has_work(self) -> bool:
        """Whether something can be made ready now, before it is asked for."""
        return self.rest_s == 0

    @property
    def rest_s(self) -> float | None:
        """Seconds to rest before something is made ready; None where nothing is to be."""
        if self.reader is None or not (self._near_missing or self._tasks or self._smalls_missing):
            return None
        soon = self._near_missing or self._tasks
        rest = IDLE_S if not soon else 0.0 if self._in_passing else PAINT_S
        return max(0.0, self._moved_at + rest - time.perf_counter())

    def limit(self, budget_bytes: int) -> None:
        """Keep no more than this."""
        if budget_bytes != self._budget:
            self._budget = budget_bytes
            if self.reader is not None:
                self.reader.limit(budget_bytes)
                if self._stretch is not None:
                    self.cover(*self._stretch)

    def cover(self, first: int, last: int) -> None:
        """Make small pictures of these frames when there is time."""
        self._stretch = (first, last)
        if self.reader is not None:
            self.reader.cover(first, last)
            self._smalls_missing = True

    def travel_to(self, number: int, in_passing: bool) -> None:
        """A frame is on show or asked for now: plan what to make ready from here."""
        self._direction = direction_of(number - self._at, self._direction)
        self._at, self._in_passing = number, in_passing
        self._moved_at = time.perf_counter()
        self._plan()

    def answer(self, request: FrameRequest) -> FrameReady | FrameFailed:
        """The picture asked for, or why there is none."""
        try:
            if self.reader is None:
                self.reader = self._make_reader(self._film, self._stopped)
                if self._stretch is not None:
                    self.cover(*self._stretch)
            picture = self.reader.picture(request.number)
        except CinderlaneError as error:
            return FrameFailed(request, str(error))
        except ReadingStopped:
            raise
        except Exception:  # noqa: BLE001 - whatever it was, the window must not wait for ever
            _log.exception("a frame could not be read")
            return FrameFailed(request, tr("The picture can't be shown. Open the film again."))
        self._moved_at = time.perf_counter()
        self._plan()
        return FrameReady(request, image_of(picture))

    def work(self) -> None:
        """One frame's worth of what was planned."""
        if self.reader is None:
            return
        ahead = bool(self._tasks)
        try:
            if self._near_missing:
                self._near_missing = self.reader.make_near(self._at)
                return
            if ahead:
                more = self.reader.prepare(self._at, self._tasks[0])
            elif self.rest_s == 0:
                more = self.reader.make_small()
            else:
                return
        except ReadingStopped:
            raise
        except Exception:  # noqa: BLE001 - the frame itself is asked for later, and what is wrong said then
            more = False
        self._near_missing = ahead and not self._in_passing  # it may be there now
        if ahead and not more:
            self._tasks.pop(0)
        elif not ahead:
            self._smalls_missing = more

    def close(self) -> None:
        """Give file and memory back."""
        if self.reader is not None:
            self.reader.close()
            self.reader = None  # with it go the decoders, which hold a score of frames
            give_freed_memory_back()

    def _plan(self) -> None:
        if self.reader is None:
            return
        self.reader.travel_to(self._at)
        self._near_missing = not self._in_passing
        ready = self.reader.ready_stretch
        wishes = wishes_of(self._direction, playing=self._in_passing)
        self._tasks = [far for far, least in wishes if ready(self._at, far) < least]
