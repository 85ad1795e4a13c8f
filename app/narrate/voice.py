"""The coach's voice: recorded with what the film shows, and heard again with it."""

from __future__ import annotations

from collections.abc import Callable
from uuid import uuid4

from PySide6.QtCore import QObject, Qt, QTimer, Signal, Slot

from analysis.values.errors import CinderlaneError, NarrationError
from analysis.values.recording import Recording
from analysis.values.words import tr
from analysis.voice.sound import decoded
from analysis.voice.take import SoundIn, Take
from app.narrate.devices import Silence, SoundOut

_TICK_MS = 15


class Voice(QObject):
    """Records or plays, one at a time.

    ``hear``: makes where sound comes from, ``play_on`` where it goes to.

    Signals:
        changed(): it began or ended to record or to play.
        heard(float, float): while it records: how long the take is, in s, and how loud it is now, 0 to 1.
        played(float): while it plays: which time of the recording is heard now, in s.
        taken(Recording): a take is done.
        said(str): a sentence for the coach.
    """

    changed = Signal()
    heard = Signal(float, float)
    played = Signal(float)
    taken = Signal(object)
    said = Signal(str)

    def __init__(
        self,
        parent: QObject,
        hear: Callable[[], SoundIn],
        play_on: Callable[[], SoundOut],
    ) -> None:
        super().__init__(parent)
        self._hear, self._play_on = hear, play_on
        self._source: SoundIn | None = None
        self._take: Take | None = None
        self._out: SoundOut | None = None
        self._lasts_s = 0.0
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self.tick)

    @property
    def recording(self) -> bool:
        """Whether what is spoken now is kept."""
        return self._take is not None

    @property
    def playing(self) -> bool:
        """Whether a recording is heard."""
        return self._out is not None

    def record(self) -> bool:
        """Begin a take. False, and said why, where there is nothing to hear."""
        self.stop()
        take = Take()
        try:
            source = self._hear()
            source.start(take.heard)
        except CinderlaneError as error:
            self.said.emit(str(error))
            return False
        self._source, self._take = source, take
        self._timer.start()
        self.changed.emit()
        return True

    def play(self, recording: Recording, from_s: float) -> None:
        """Let a recording be heard from a time on."""
        self.stop()
        try:
            samples = decoded(recording.sound)
        except CinderlaneError as error:
            self.said.emit(str(error))
            return
        out = self._play_on()
        try:
            out.start(samples, from_s)
        except NarrationError:
            out = Silence()
            out.start(samples, from_s)
        if out.silent:
            self.said.emit(tr("There is no loudspeaker: the film goes as it was told, without sound."))
        self._out, self._lasts_s = out, recording.lasts_s
        self._timer.start()
        self.changed.emit()

    @Slot()
    def stop(self) -> None:
        """End the take, which is then kept, or the playing."""
        self._timer.stop()
        if self._out is not None:
            self._out.stop()
            self._out = None
            self.changed.emit()
        if self._take is not None and self._source is not None:
            take, source = self._take, self._source
            self._take = self._source = None
            source.stop()
            made = take.finish(uuid4().hex)
            self.changed.emit()
            if made is None:
                self.said.emit(tr("Nothing was heard, so nothing was kept. Look at the microphone."))
            else:
                self.taken.emit(made)

    # what happens while it records

    def shown(self, frame: int, beside: int | None, stop_id: str) -> None:
        """The film shows this from now on."""
        if self._take is not None and self._source is not None:
            self._take.shown(self._source.now_s(), frame, beside, stop_id)

    def pen_down(self, u: float, v: float, *, beside: bool) -> None:
        """A stroke begins."""
        if self._take is not None and self._source is not None:
            self._take.pen_down(self._source.now_s(), u, v, beside=beside)

    @Slot(float, float)
    def pen_moved(self, u: float, v: float) -> None:
        """It goes on."""
        if self._take is not None and self._source is not None:
            self._take.pen_moved(self._source.now_s(), u, v)

    def wiped(self) -> None:
        """All strokes are gone."""
        if self._take is not None and self._source is not None:
            self._take.wiped(self._source.now_s())

    @Slot()
    def tick(self) -> None:
        """Take in what was heard; say where the playing is."""
        if self._take is not None:
            self._take.take_in()
            self.heard.emit(self._take.lasts_s, self._take.level)
            if self._take.full:
                self.said.emit(tr("The take is half an hour long and ends here. Record the rest as another."))
                self.stop()
        elif self._out is not None:
            now_s = self._out.heard_s()
            if now_s >= self._lasts_s:
                self.played.emit(self._lasts_s)
                self.stop()
            else:
                self.played.emit(now_s)
