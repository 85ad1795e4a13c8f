"""The whole screen: a narration is presented, or spoken over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QCloseEvent, QKeyEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from analysis.film.reader import BUDGET_BYTES
from analysis.report.narrated import USUAL
from analysis.values.film import FrameNumber
from analysis.values.narration import Narration, Overlay
from analysis.values.recording import Recording, Shown
from analysis.values.time_map import TimeMap
from analysis.values.words import tr
from analysis.voice.take import SoundIn
from app.bench import Look
from app.film.clock import Clock
from app.film.ticker import Ticker
from app.narrate.devices import SoundOut, loudspeaker, microphone
from app.narrate.screen import Screen
from app.narrate.stand import Stand
from app.narrate.voice import Voice
from app.narrate.voice_bar import VoiceBar
from app.narrate.walk import StopWalk
from app.theme.apply import sized
from app.theme.tokens import TARGET_PX, Space, Type

_BESIDE_PX = 300


class Stage(QWidget):
    """Attributes: ``screens`` one for each film, ``walk`` from stop to stop, ``caption``, ``voice``, ``bar``.

    Signals:
        taken(Recording, object): a take is done; the passage that it is spoken in the place of, or None.
        split_wanted(float): what was spoken shall be two from this time on.
        drop_wanted(): what was spoken shall go.
        left(): it is closed.
    """

    taken = Signal(object, object)
    split_wanted = Signal(float)
    drop_wanted = Signal()
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
        hear: Callable[[], SoundIn] = microphone,
        play_on: Callable[[], SoundOut] = loudspeaker,
    ) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setProperty("role", "panel")
        self.setWindowTitle(f"{narration.name} – {tr('Cinderlane')}")
        self.setAccessibleName(tr("Speaking over the film") if speaking else tr("Presenting the narration"))
        self.narration, self.recording = narration, recording
        self._speaking = speaking
        self._stand = stand
        self._passage: tuple[float, float] | None = None
        self._told = ""
        self.ticker = Ticker(Clock(), self)
        self.screens = tuple(Screen(look, self.ticker, BUDGET_BYTES // 2, self) for look in looks)
        self._times = tuple(look.facts.times for look in looks if look.facts is not None)
        panes = tuple(screen.pane for screen in self.screens)
        self.walk = StopWalk(narration, self.ticker, panes, self._times, self)
        self.voice = Voice(self, hear, play_on)
        self.caption = QLabel(self)
        self.caption.setAccessibleName(tr("What is said at the stop"))
        self.caption.setFont(sized(self.caption.font(), Type.FIGURE))
        self.caption.setWordWrap(True)
        self.caption.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter)
        self.notice = QLabel(self)
        self.notice.setProperty("role", "warning")
        self.notice.setWordWrap(True)
        self.notice.hide()
        self.bar = VoiceBar(self, speaking=speaking)
        self.where = QLabel(self)
        self.back, self.next, self.wipe, self.leave = (
            _button(words, hint, self)
            for words, hint in (
                (tr("Back"), tr("To the stop before (Page Up)")),
                (tr("Next"), tr("To the next stop (Page Down)")),
                (tr("Wipe"), tr("Take away what was drawn by hand (W)")),
                (tr("Leave"), tr("Back to the window (Esc)")),
            )
        )
        self._lay_out()
        self._connect()
        self._begin()

    def _lay_out(self) -> None:
        films, beside = QBoxLayout(_direction(self.screens)), QVBoxLayout()
        films.setSpacing(Space.HAIR)
        beside.setSpacing(Space.WIDE)
        for screen in self.screens:
            films.addWidget(screen.pane, 1)
            if len(self.screens) > 1:
                name = QLabel(screen.look.run.name, self)
                name.setTextFormat(Qt.TextFormat.PlainText)
                name.setProperty("role", "number")
                beside.addWidget(name)
            beside.addWidget(screen.numbers)
        rails = QHBoxLayout()
        for screen in self.screens:
            rails.addWidget(screen.rail)
        beside.addLayout(rails, 1)
        beside.addStretch(0)
        column = QWidget(self)
        column.setLayout(beside)
        column.setMinimumWidth(_BESIDE_PX)
        column.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Expanding)
        above = QHBoxLayout()
        above.setSpacing(Space.WIDE)
        above.addLayout(films, 1)
        above.addWidget(column)
        below = QHBoxLayout()
        below.setSpacing(Space.BASE)
        below.addWidget(self.where)
        below.addStretch(1)
        for button in (self.back, self.next, self.wipe, self.leave):
            below.addWidget(button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(Space.WIDE, Space.WIDE, Space.WIDE, Space.WIDE)
        whole.setSpacing(Space.BASE)
        whole.addLayout(above, 1)
        for part in (self.caption, self.notice, self.bar):
            whole.addWidget(part)
        whole.addLayout(below)

    def _connect(self) -> None:
        self.walk.came.connect(self._came)
        self.ticker.moved.connect(self._moved)
        for screen in self.screens:
            screen.pen.began.connect(self._pen_began)
            screen.pen.moved.connect(self._pen_moved)
            screen.pane.said.connect(self.say)
            screen.pane.strip.sliderPressed.connect(self.walk.let_go)
        self.back.clicked.connect(self._back)
        self.next.clicked.connect(self._next)
        self.wipe.clicked.connect(self._wipe)
        self.leave.clicked.connect(self.close)
        bar, voice = self.bar, self.voice
        voice.changed.connect(self._show_voice)
        voice.heard.connect(bar.show_take)
        voice.played.connect(self._played)
        voice.taken.connect(self._taken)
        voice.said.connect(self.say)
        bar.sought.connect(self._sought)
        bar.record.clicked.connect(self._record)
        bar.play.clicked.connect(self._play)
        bar.begin.clicked.connect(self._passage_begins)
        bar.end.clicked.connect(self._passage_ends)
        bar.split.clicked.connect(self._split)
        bar.drop.clicked.connect(self._drop)

    def _begin(self) -> None:
        """The first stop; without any, and to speak, where the coach was."""
        if self._speaking or not self.narration.stops:
            if len(self.screens) > 1:
                self.screens[1].pane.set_time_map(self._stand.beside_s)
            times = self._times[0]
            self.ticker.clock.cover(0.0, float(times.seconds[-1]))
            self.ticker.seek(times.at(min(self._stand.frame, len(times) - 1)))
            self._tell("")
        else:
            self.walk.go_to(0)
        self._show_voice()
        self.screens[0].pane.view.setFocus()

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
        shown: tuple[Overlay, ...] = USUAL if stop is None else stop.drawn
        for screen, zoom in zip(self.screens, zooms, strict=False):
            screen.show_as(shown, zoom)
        count = len(self.narration.stops)
        place = next((n for n, one in enumerate(self.narration.stops, 1) if one.id == stop_id), 0)
        self.where.setText(
            tr("Stop {place} of {count}").format(place=place, count=count) if place else self.narration.name
        )
        self.back.setVisible(count > 0)
        self.next.setVisible(count > 0)
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

    @Slot(float)
    def _moved(self, time_s: float) -> None:
        self._note()

    def _note(self) -> None:
        """Tell the take what the films show."""
        frames = [int(screen.pane.wanted) for screen in self.screens]
        self.voice.shown(frames[0], frames[1] if len(frames) > 1 else None, self._told)

    # drawing by hand

    @Slot(float, float)
    def _pen_began(self, u: float, v: float) -> None:
        self.voice.pen_down(u, v, beside=len(self.screens) > 1 and self.sender() is self.screens[1].pen)

    @Slot(float, float)
    def _pen_moved(self, u: float, v: float) -> None:
        self.voice.pen_moved(u, v)

    @Slot()
    def _wipe(self) -> None:
        for screen in self.screens:
            screen.pen.show_strokes(())
        self.voice.wiped()

    # the voice

    @Slot(str)
    def say(self, words: str) -> None:
        """A sentence for the coach."""
        self.notice.setText(words)
        self.notice.show()

    def show_recording(self, recording: Recording | None) -> None:
        """What is spoken over the narration from now on; None for nothing."""
        self.recording, self._passage = recording, None
        self._show_voice()

    @Slot()
    def _show_voice(self) -> None:
        voice = self.voice
        records = voice.recording
        self.bar.setVisible(self._speaking or self.recording is not None)
        self.bar.show_state(self.recording, self._passage, records=records, plays=voice.playing)
        if records:
            self.bar.show_take(0.0, 0.0)

    @Slot()
    def _record(self) -> None:
        self.notice.hide()
        if self.voice.recording:
            self.voice.stop()
            return
        if not self._speaking:
            return
        self._wipe()
        if self._passage is not None and self.recording is not None:
            self._show(self.recording.at(self._passage[0]))
        if self.voice.record():
            self._note()

    @Slot(object)
    def _taken(self, recording: Recording) -> None:
        self.ticker.pause()
        passage, self._passage = self._passage, None
        self.taken.emit(recording, passage)

    @Slot()
    def _play(self) -> None:
        self.notice.hide()
        if self.voice.playing:
            self.voice.stop()
        elif self.recording is not None and not self.voice.recording:
            self.walk.let_go()
            self.ticker.pause()
            at_end = self.bar.at_s >= self.recording.lasts_s - 0.05
            self.voice.play(self.recording, 0.0 if at_end else self.bar.at_s)

    @Slot(float)
    def _played(self, at_s: float) -> None:
        self.bar.show_place(at_s)
        self._show_at(at_s)

    @Slot(float)
    def _sought(self, at_s: float) -> None:
        if self.voice.playing and self.recording is not None:
            self.voice.play(self.recording, at_s)
        self._show_at(at_s)

    def _show_at(self, at_s: float) -> None:
        """What was shown and drawn at a time of the recording."""
        if self.recording is None:
            return
        self._show(replace(self.recording.at(at_s), t_s=at_s))
        for place, screen in enumerate(self.screens):
            strokes = (one for one in self.recording.strokes_at(at_s) if one.beside == bool(place))
            screen.pen.show_strokes([[(point.u, point.v) for point in one.points] for one in strokes])

    def _show(self, shown: Shown) -> None:
        self.walk.let_go()
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

    @Slot()
    def _passage_begins(self) -> None:
        if self.recording is not None:
            self._passage = self.bar.at_s, self.recording.lasts_s
            self._show_voice()

    @Slot()
    def _passage_ends(self) -> None:
        if self._passage is not None:
            begin = self._passage[0]
            self._passage = min(begin, self.bar.at_s), max(begin, self.bar.at_s)
            self._show_voice()

    @Slot()
    def _split(self) -> None:
        self.voice.stop()
        self.split_wanted.emit(self.bar.at_s)

    @Slot()
    def _drop(self) -> None:
        self.voice.stop()
        self.drop_wanted.emit()

    # keys and leaving

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of the stage; the window's own do nothing here."""
        key, pane = Qt.Key(event.key()), self.screens[0].pane
        ten = 10 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
        common = {
            Qt.Key.Key_PageDown: self._next,
            Qt.Key.Key_PageUp: self._back,
            Qt.Key.Key_W: self._wipe,
            Qt.Key.Key_P: self._play,
            Qt.Key.Key_Escape: self._escape,
        }
        presenting = {
            Qt.Key.Key_Right: self._next,
            Qt.Key.Key_Space: self._next,
            Qt.Key.Key_Left: self._back,
            Qt.Key.Key_Backspace: self._back,
        }
        speaking = {Qt.Key.Key_Space: self.ticker.toggle, Qt.Key.Key_V: self._record}
        act = (common | (speaking if self._speaking else presenting)).get(key)
        if act is not None:
            if not event.isAutoRepeat():
                act()
        elif self._speaking and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            pane.step(-ten if key is Qt.Key.Key_Left else ten)
        else:
            super().keyPressEvent(event)

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


def _direction(screens: tuple[Screen, ...]) -> QBoxLayout.Direction:
    """Two wide films are larger one over the other, two upright ones side by side."""
    film = screens[0].look.film
    wide = film is not None and film.shown_size[0] > film.shown_size[1]
    return QBoxLayout.Direction.TopToBottom if wide else QBoxLayout.Direction.LeftToRight


def _button(words: str, hint: str, parent: QWidget) -> QPushButton:
    button = QPushButton(words, parent)
    button.setToolTip(hint)
    button.setMinimumHeight(TARGET_PX)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button
