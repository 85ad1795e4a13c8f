"""The whole screen: a narration is presented, or spoken over."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QCloseEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from analysis.film.reader import BUDGET_BYTES
from analysis.report.narrated import USUAL
from analysis.values.film import FrameNumber
from analysis.values.narration import Narration
from analysis.values.recording import Recording, Shown
from analysis.values.time_map import TimeMap
from analysis.values.words import tr
from analysis.voice.take import SoundIn
from app.bench import Look
from app.narrate.devices import SoundOut, loudspeaker, microphone
from app.narrate.stage_frame import StageFrame
from app.narrate.stand import Stand
from app.narrate.telling import Telling
from app.narrate.voice import Voice
from app.narrate.walk import StopWalk


class Stage(StageFrame):
    """Attributes: ``narration``, ``walk`` from stop to stop, ``voice``, ``telling`` what is done with it.

    Signals: ``left`` it is closed.
    """

    left = Signal()

    def __init__(
        self,
        narration: Narration,
        looks: tuple[Look, ...],
        stand: Stand,
        recording: Recording | None,
        parent: QWidget,
        *,
        speaking: bool,
        memory_bytes: int = BUDGET_BYTES,
        hear: Callable[[], SoundIn] = microphone,
        play_on: Callable[[], SoundOut] = loudspeaker,
    ) -> None:
        super().__init__(
            looks, (stop.words for stop in narration.stops), parent, memory_bytes, speaking=speaking
        )
        self.setWindowTitle(f"{narration.name} – {tr('Cinderlane')}")
        self.setAccessibleName(tr("Speaking over the film") if speaking else tr("Presenting the narration"))
        self.narration = narration
        self._speaking = speaking
        self._told = ""
        self._times = tuple(look.facts.times for look in looks if look.facts is not None)
        panes = tuple(screen.pane for screen in self.screens)
        self.walk = StopWalk(narration, self.ticker, panes, self._times, self)
        self.voice = Voice(self, hear, play_on)
        self.telling = Telling(self.voice, self.bar, recording, self)
        self._connect()
        self._begin(stand)

    def _connect(self) -> None:
        self.walk.came.connect(self._came)
        self.ticker.moved.connect(self._note)
        for screen in self.screens:
            screen.pen.began.connect(self._pen_began)
            screen.pen.moved.connect(self.voice.pen_moved)
            screen.pane.said.connect(self.say)
            screen.pane.strip.sliderPressed.connect(self.walk.let_go)
        self.voice.said.connect(self.say)
        self.voice.changed.connect(self._voice_changed)
        self.telling.shown.connect(self._show)
        self.telling.begins.connect(self._wipe)
        self.back.clicked.connect(self._back)
        self.next.clicked.connect(self._next)
        self.wipe.clicked.connect(self._wipe)
        self.leave.clicked.connect(self.close)

    def _begin(self, stand: Stand) -> None:
        """The first stop; to speak, or without any, where the coach was."""
        if self._speaking or not self.narration.stops:
            if len(self.screens) > 1:
                self.screens[1].pane.set_time_map(stand.beside_s)
            times = self._times[0]
            self.ticker.clock.cover(0.0, float(times.seconds[-1]))
            self.ticker.seek(times.at(min(stand.frame, len(times) - 1)))
            self._tell("")
        else:
            self.walk.go_to(0)
        self.screens[0].pane.view.setFocus()

    @Slot(str)
    def say(self, words: str) -> None:
        """A sentence for the coach."""
        self.notice.setText(words)
        self.notice.show()

    # stops

    @Slot(int)
    def _came(self, place: int) -> None:
        self._tell(self.narration.stops[place].id)

    def _tell(self, stop_id: str) -> None:
        """Caption, what is drawn and which part of the picture: those of a stop, or of none."""
        self._told = stop_id
        stop = self.narration.stop(stop_id)
        self.caption.setText("" if stop is None else stop.words)
        self.caption.setVisible(bool(self.caption.text()))
        zooms = (None, None) if stop is None else (stop.zoom, stop.beside_zoom)
        for screen, zoom in zip(self.screens, zooms, strict=False):
            screen.show_as(USUAL if stop is None else stop.drawn, zoom)
        ids = [one.id for one in self.narration.stops]
        self.where.setText(
            tr("Stop {place} of {count}").format(place=ids.index(stop_id) + 1, count=len(ids))
            if stop_id in ids
            else self.narration.name
        )
        for button in (self.back, self.next):
            button.setVisible(bool(ids))
        self._note()

    @Slot()
    def _next(self) -> None:
        self._quiet()
        if self._speaking:
            place = min(self.walk.place + 1, len(self.narration.stops) - 1)
            if place >= 0:
                self.walk.go_to(place)
        elif not self.walk.next():
            self.say(tr("That was the last stop. Esc leaves."))

    @Slot()
    def _back(self) -> None:
        self._quiet()
        self.walk.back()

    def _quiet(self) -> None:
        """Whatever is heard ends; what is recorded goes on."""
        self.notice.hide()
        if self.voice.playing:
            self.voice.stop()

    # the voice

    @Slot()
    def _note(self) -> None:
        """Tell the take what the films show."""
        frames = [int(screen.pane.wanted) for screen in self.screens]
        self.voice.shown(frames[0], frames[1] if len(frames) > 1 else None, self._told)

    @Slot()
    def _voice_changed(self) -> None:
        if self.voice.recording:
            self._note()
        elif not self.voice.playing:
            self.ticker.pause()

    @Slot(float, float)
    def _pen_began(self, u: float, v: float) -> None:
        self.voice.pen_down(u, v, beside=len(self.screens) > 1 and self.sender() is self.screens[1].pen)

    @Slot()
    def _wipe(self) -> None:
        for screen in self.screens:
            screen.pen.show_strokes(())
        self.voice.wiped()

    @Slot(object)
    def _show(self, shown: Shown) -> None:
        """What was shown and drawn at a time of the recording."""
        self.walk.let_go()
        self.ticker.pause()
        if shown.stop_id != self._told:
            self._tell(shown.stop_id)
        times = self._times[0]
        at_s = times.at(min(int(shown.frame), len(times) - 1))
        if len(self.screens) > 1:
            second, frame = self._times[1], shown.beside or FrameNumber(0)
            beside_s = second.at(min(int(frame), len(second) - 1))
            self.screens[1].pane.set_time_map(TimeMap.offset(beside_s, at_s))
        self.ticker.clock.cover(0.0, float(times.seconds[-1]))
        self.ticker.seek(at_s)
        recording = self.telling.recording
        drawn = () if recording is None else recording.strokes_at(shown.t_s)
        for place, screen in enumerate(self.screens):
            own = [one for one in drawn if one.beside == bool(place)]
            screen.pen.show_strokes([[(point.u, point.v) for point in one.points] for one in own])

    # keys and leaving

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of the stage; the window's own do nothing here."""
        key, pane = Qt.Key(event.key()), self.screens[0].pane
        ten = 10 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
        act = self._acts().get(key)
        if act is not None:
            if not event.isAutoRepeat():
                act()
        elif self._speaking and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            pane.step(-ten if key is Qt.Key.Key_Left else ten)
        else:
            super().keyPressEvent(event)

    def _acts(self) -> dict[Qt.Key, Callable[[], object]]:
        keys = Qt.Key
        common: dict[Qt.Key, Callable[[], object]] = {
            keys.Key_PageDown: self._next,
            keys.Key_PageUp: self._back,
            keys.Key_W: self._wipe,
            keys.Key_P: self.telling.play,
            keys.Key_Escape: self._escape,
        }
        if self._speaking:
            return common | {keys.Key_Space: self.ticker.toggle, keys.Key_V: self.telling.record}
        forward = dict.fromkeys((keys.Key_Right, keys.Key_Space), self._next)
        return common | forward | dict.fromkeys((keys.Key_Left, keys.Key_Backspace), self._back)

    @Slot()
    def _escape(self) -> None:
        """End what is recorded or heard, else leave."""
        if self.voice.recording or self.voice.playing:
            self.voice.stop()
        else:
            self.close()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep the take that goes on; let go of the films."""
        self.voice.stop()
        self.ticker.shutdown()
        for screen in self.screens:
            screen.shutdown()
        super().closeEvent(event)
        self.left.emit()
