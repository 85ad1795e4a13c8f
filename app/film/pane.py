"""One film on screen: picture, strip, reader thread, and the frame that the clock asks for."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from analysis.film.reader import BUDGET_BYTES
from analysis.values.film import Film, FrameNumber, FrameTimes
from analysis.values.time_map import IDENTITY, TimeMap
from analysis.values.words import tr
from app.film.clock import Clock
from app.film.drops import DropCount
from app.film.reader_thread import FrameFailed, FrameReady, MakeReader, ReaderThread
from app.film.strip import ScrubStrip
from app.film.ticker import Ticker
from app.film.view import FrameView

FULL_SIZE_SPEED = 0.25
"""Up to this share of real time films side by side are played in full size, faster in small pictures."""


class FilmPane(QWidget):
    """Shows the frame that is due by a clock: the last at or before the time to which the clock is mapped.

    ``ticker``: the driver of a clock that others follow too, and which others keep; without it the pane has a
    clock of its own that covers its film. ``budget_bytes``: what its reader may keep.

    Attributes: ``view`` the picture, ``strip`` the slider under it, ``ticker`` the clock's driver.
    Signals:
        frame_shown(int): this frame's picture is on show now.
        said(str): a sentence for the coach.
    """

    frame_shown = Signal(int)
    said = Signal(str)

    def __init__(
        self,
        parent: QWidget | None = None,
        make_reader: MakeReader | None = None,
        ticker: Ticker | None = None,
        budget_bytes: int = BUDGET_BYTES,
    ) -> None:
        super().__init__(parent)
        self.view = FrameView(self)
        self.strip = ScrubStrip(self)
        self._own_clock = ticker is None
        self.ticker = Ticker(Clock(), self) if ticker is None else ticker
        self._make_reader = make_reader
        self._budget_bytes = budget_bytes
        self._film: Film | None = None
        self._reader: ReaderThread | None = None
        self._expected: ReaderThread | None = None
        self._map = IDENTITY
        self._wanted = FrameNumber(0)
        self._shown = FrameNumber(-1)
        self._beyond = 0
        self._loop: tuple[float, float] | None = None
        self._stretch: tuple[int, int] | None = None
        self._in_full = False
        self._said_lost = False
        self._drops = DropCount()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.view, 1)
        layout.addWidget(self.strip)
        self.ticker.moved.connect(self._clock_moved)
        self.ticker.playing_changed.connect(self._playing_changed)
        self.strip.frame_requested.connect(self.go_to)
        self.strip.setEnabled(False)

    @property
    def film(self) -> Film | None:
        """The film on show."""
        return self._film

    @property
    def wanted(self) -> FrameNumber:
        """The frame asked for last; its picture is on show or on its way."""
        return self._wanted

    @property
    def shown(self) -> FrameNumber:
        """The frame whose picture is on show; -1 for none."""
        return self._shown

    @property
    def in_full(self) -> bool:
        """Whether the picture on show has the film's full size."""
        return self._in_full

    @property
    def beyond(self) -> int:
        """-1 where the clock is before the film's first frame, 1 after its last one, else 0."""
        return self._beyond

    @property
    def late(self) -> int:
        """How many pictures did not come in time since the film was last set playing."""
        return self._drops.dropped

    @property
    def time_map(self) -> TimeMap:
        """From the clock's time to the film's."""
        return self._map

    def set_time_map(self, time_map: TimeMap) -> None:
        """Map the clock in another way; the frame follows when the clock next says its time."""
        self._map = time_map
        self._loop = None
        self.strip.set_loop(None)

    def cover(self, first: int, last: int) -> None:
        """Have small pictures of these frames, of 15 s at most, so that a jump shows the very frame at once.

        Without it, until another film is shown, those of the film's beginning.
        """
        if self._reader is not None and (first, last) != self._stretch:
            self._stretch = first, last
            self._reader.cover(first, last)

    def expect(self, film: Film | None) -> None:
        """Begin to read a film that will be shown in a moment. None: it will not be shown after all."""
        expected, self._expected = self._expected, None
        _end(expected)
        if film is not None:
            self._expected = self._reader_of(film)
            self._expected.request(0)

    def set_film(self, film: Film | None) -> None:
        """Show another film, or none."""
        self._let_go()
        self._stretch, self._in_full = None, False
        self._film = film
        self._shown, self._wanted = FrameNumber(-1), FrameNumber(0)
        self._say_beyond(0)
        self.view.set_picture(None)
        self.strip.setEnabled(film is not None)
        self.strip.set_loop(None)
        self._loop = None
        if film is None:
            self.strip.set_frames(0)
            if self._own_clock:
                self.ticker.cover(0.0, 0.0)
            return
        if self._expected is not None and self._expected.film is film:
            self._reader, self._expected = self._expected, None
        else:
            self.expect(None)
            self._reader = self._reader_of(film)
        self.cover(0, film.frames - 1)
        self._reader.ready.connect(self._picture_came)
        self._reader.failed.connect(self._picture_failed)
        self.view.set_film_size(*film.shown_size)
        self.view.set_busy(tr("Opening the film…"))
        self.strip.set_frames(film.frames)
        if self._own_clock:
            times = film.facts.times.seconds
            self.ticker.cover(float(times[0]), float(times[-1]))

    @Slot(int)
    def go_to(self, frame: int) -> None:
        """Bring the clock to this frame, or to the nearest one that the film has; playing stops."""
        if self._film is None:
            return
        self.ticker.pause()
        frame = min(max(frame, 0), self._film.frames - 1)
        self._seek(self._film.facts.times.at(frame))
        if self._wanted != frame or self._shown < 0:
            self._want(frame)

    def step(self, count: int) -> None:
        """Go on by so many frames, back where negative; beyond the film's ends by the time of as many."""
        if self._film is None:
            return
        times, frame = self._film.facts.times, self._wanted + count
        if self._beyond == 0 and 0 <= frame < len(times):
            self.go_to(frame)
            return
        self.ticker.pause()
        here = self._map.film_s(self.ticker.clock.time_s) if self._beyond else times.at(self._wanted)
        self._seek(here + count * _interval(times, self._wanted))

    def repeat(self, first: int, last: int) -> None:
        """Repeat the frames from ``first`` to ``last``, both shown. Raises ValueError for less than two."""
        if self._film is None:
            return
        times = self._film.facts.times
        after = times.at(last + 1) if last + 1 < len(times) else times.at(last) + _interval(times, last)
        if not last > first:
            raise ValueError(f"a stretch ends after it begins: {first} to {last}")
        self.ticker.repeat(self._map.master_s(times.at(first)), self._map.master_s(after))

    def shutdown(self) -> None:
        """Stop everything; the pane shows nothing any more."""
        if self._own_clock:
            self.ticker.shutdown()
        self.expect(None)
        self._let_go()

    @property
    def budget_bytes(self) -> int:
        """What its reader may keep."""
        return self._budget_bytes

    def limit(self, budget_bytes: int) -> None:
        """Its reader may keep so much from now on."""
        self._budget_bytes = budget_bytes
        if self._reader is not None:
            self._reader.limit(budget_bytes)

    def _seek(self, film_s: float) -> None:
        self.ticker.seek(self._map.master_s(film_s))

    @Slot(float)
    def _clock_moved(self, master_s: float) -> None:
        if self._film is None:
            return
        times = self._film.facts.times
        film_s = self._map.film_s(master_s)
        frame = times.last_at_or_before(film_s)
        if self.ticker.clock.playing:
            self._drops.due(frame)
        if frame != self._wanted or self._shown < 0:
            self._want(frame)
        last = len(times) - 1
        ends = times.at(last) + _interval(times, last)
        self._say_beyond(-1 if film_s < -1e-9 else int(film_s >= ends - 1e-9))
        self._show_loop(times)

    def _say_beyond(self, beyond: int) -> None:
        if beyond != self._beyond:
            self._beyond = beyond
            words = {-1: tr("Before this film's first frame"), 0: "", 1: tr("After this film's last frame")}
            self.view.set_remark(words[beyond])

    def _show_loop(self, times: FrameTimes) -> None:
        loop = self.ticker.clock.loop
        if loop != self._loop:
            self._loop = loop
            ends = None if loop is None else [self._map.film_s(end) for end in loop]
            # the stretch ends where the frame after its last one would come
            first, last = (0.0, 0.0) if ends is None else (ends[0], ends[1] - 1e-6)
            frames = int(times.last_at_or_before(first)), int(times.last_at_or_before(last))
            self.strip.set_loop(None if ends is None else frames)

    def _want(self, frame: int) -> None:
        self._wanted = FrameNumber(frame)
        self.strip.set_frame(frame)  # not when it is on show: the next turn of the wheel counts from here
        if self._reader is not None:
            clock = self.ticker.clock
            light = clock.playing and not self._own_clock and clock.speed > FULL_SIZE_SPEED
            self._reader.request(frame, in_passing=clock.playing, light=light)

    @Slot(bool)
    def _playing_changed(self, playing: bool) -> None:
        if playing:
            self._drops.begin()
            self._said_lost = False
        if not playing and self._reader is not None and self._shown == self._wanted and not self._in_full:
            self._reader.request(self._wanted)  # in passing less than the full picture was enough

    @Slot(object)
    def _picture_came(self, ready: FrameReady) -> None:
        self._shown, self._in_full = FrameNumber(ready.number), not ready.small
        self._drops.shown(ready.number)
        self.view.set_picture(ready.image)
        self.frame_shown.emit(ready.number)

    @Slot(object)
    def _picture_failed(self, failed: FrameFailed) -> None:
        if self.ticker.clock.playing and self._shown >= 0:
            if not self._said_lost:  # playing goes on over what is lost, and says so once
                self._said_lost = True
                self.said.emit(failed.sentence)
            return
        self.ticker.pause()
        self._shown, self._in_full = FrameNumber(-1), False
        self.view.set_picture(None)  # another frame's picture would be taken for this one's
        self.view.set_busy(failed.sentence)
        self.said.emit(failed.sentence)

    def _reader_of(self, film: Film) -> ReaderThread:
        reader = ReaderThread(film, self, self._make_reader)
        reader.limit(self._budget_bytes)
        return reader

    def _let_go(self) -> None:
        reader, self._reader = self._reader, None
        _end(reader)


def _interval(times: FrameTimes, frame: int) -> float:
    """How long a frame is shown, as far as can be told at the film's ends."""
    return times.interval_before(frame) if len(times) > 1 else 1 / 30


def _end(reader: ReaderThread | None) -> None:
    if reader is not None:
        reader.shutdown()
        reader.setParent(None)
        reader.deleteLater()
