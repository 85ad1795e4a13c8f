"""One film on screen: picture, strip, reader thread, and the frame that the clock asks for."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from analysis.values.film import Film, FrameNumber
from analysis.values.words import tr
from app.film.clock import Clock
from app.film.reader_thread import FrameFailed, FrameReady, MakeReader, ReaderThread
from app.film.strip import ScrubStrip
from app.film.ticker import Ticker
from app.film.view import FrameView


class FilmPane(QWidget):
    """Shows the frame that is due by its clock.

    Attributes: ``view`` the picture, ``strip`` the slider under it, ``ticker`` the clock's driver.
    Signals:
        frame_shown(int): this frame's picture is on show now.
        said(str): a sentence for the coach.
    """

    frame_shown = Signal(int)
    said = Signal(str)

    def __init__(self, parent: QWidget | None = None, make_reader: MakeReader | None = None) -> None:
        super().__init__(parent)
        self.view = FrameView(self)
        self.strip = ScrubStrip(self)
        self.ticker = Ticker(Clock(), self)
        self._make_reader = make_reader
        self._film: Film | None = None
        self._reader: ReaderThread | None = None
        self._wanted = FrameNumber(0)
        self._shown = FrameNumber(-1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.view, 1)
        layout.addWidget(self.strip)
        self.ticker.moved.connect(self._clock_moved)
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

    def set_film(self, film: Film | None) -> None:
        """Show another film, or none."""
        self._let_go()
        self._film = film
        self._shown, self._wanted = FrameNumber(-1), FrameNumber(0)
        self.view.set_picture(None)
        self.strip.setEnabled(film is not None)
        if film is None:
            self.ticker.cover(0.0, 0.0)
            self.strip.set_frames(0)
            return
        make = {} if self._make_reader is None else {"make_reader": self._make_reader}
        self._reader = ReaderThread(film, self, **make)
        self._reader.ready.connect(self._picture_came)
        self._reader.failed.connect(self._picture_failed)
        self.view.set_film_size(*film.shown_size)
        self.view.set_busy(tr("Opening the film…"))
        self.strip.set_frames(film.frames)
        times = film.facts.times.seconds
        self.ticker.cover(float(times[0]), float(times[-1]))

    @Slot(int)
    def go_to(self, frame: int) -> None:
        """Show this frame, or the nearest one that the film has; playing stops."""
        if self._film is None:
            return
        self.ticker.pause()
        frame = min(max(frame, 0), self._film.frames - 1)
        self.ticker.seek(self._film.facts.times.at(frame))
        if self._wanted != frame or self._shown < 0:
            self._want(frame)

    def step(self, count: int) -> None:
        """Go on by so many frames, back where negative."""
        self.go_to(self._wanted + count)

    def shutdown(self) -> None:
        """Stop everything; the pane shows nothing any more."""
        self.ticker.shutdown()
        self._let_go()

    @Slot(float)
    def _clock_moved(self, time_s: float) -> None:
        if self._film is not None:
            frame = self._film.facts.times.last_at_or_before(time_s)
            if frame != self._wanted or self._shown < 0:
                self._want(frame)

    def _want(self, frame: int) -> None:
        self._wanted = FrameNumber(frame)
        self.strip.set_frame(frame)  # not when it is on show: the next turn of the wheel counts from here
        if self._reader is not None:
            self._reader.request(frame)

    @Slot(object)
    def _picture_came(self, ready: FrameReady) -> None:
        self._shown = FrameNumber(ready.number)
        self.view.set_picture(ready.image)
        self.frame_shown.emit(ready.number)

    @Slot(object)
    def _picture_failed(self, failed: FrameFailed) -> None:
        self.ticker.pause()
        self.view.set_busy(failed.sentence)
        self.said.emit(failed.sentence)

    def _let_go(self) -> None:
        if self._reader is not None:
            self._reader.shutdown()
            _drop(self._reader)
            self._reader = None


def _drop(thing: QObject) -> None:
    thing.setParent(None)
    thing.deleteLater()
