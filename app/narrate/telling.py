"""What was spoken over a narration, and what the coach does with it: record, hear, speak again, split."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject, Signal, Slot

from analysis.values.recording import Recording
from app.narrate.voice import Voice
from app.narrate.voice_bar import VoiceBar

_AT_END_S = 0.05


class Telling(QObject):
    """Joins the voice to its bar.

    Attributes: ``recording`` what is spoken over the narration now, None for nothing.
    Signals:
        shown(Shown): the films shall show what they showed at this time of the recording.
        begins(): a take is about to begin.
        taken(Recording, object): a take is done; the passage that it is spoken in the place of, or None.
        split_wanted(float): what was spoken shall be two from this time on.
        drop_wanted(): what was spoken shall go.
    """

    shown = Signal(object)
    begins = Signal()
    taken = Signal(object, object)
    split_wanted = Signal(float)
    drop_wanted = Signal()

    def __init__(self, voice: Voice, bar: VoiceBar, recording: Recording | None, parent: QObject) -> None:
        super().__init__(parent)
        self._voice, self._bar = voice, bar
        self.recording = recording
        self._passage: tuple[float, float] | None = None
        voice.changed.connect(self.refresh)
        voice.heard.connect(bar.show_take)
        voice.played.connect(self._played)
        voice.taken.connect(self._taken)
        bar.sought.connect(self._sought)
        bar.record.clicked.connect(self.record)
        bar.play.clicked.connect(self.play)
        bar.begin.clicked.connect(self._passage_begins)
        bar.end.clicked.connect(self._passage_ends)
        bar.split.clicked.connect(self._split)
        bar.drop.clicked.connect(self._drop)
        self.refresh()

    def show_recording(self, recording: Recording | None) -> None:
        """What is spoken over the narration from now on; None for nothing."""
        self.recording, self._passage = recording, None
        self.refresh()

    @Slot()
    def refresh(self) -> None:
        """Show what there is and what goes on."""
        records = self._voice.recording
        self._bar.setVisible(self._bar.speaking or self.recording is not None)
        self._bar.show_state(self.recording, self._passage, records=records, plays=self._voice.playing)
        if records:
            self._bar.show_take(0.0, 0.0)

    @Slot()
    def record(self) -> None:
        """Begin a take, or end it."""
        if self._voice.recording:
            self._voice.stop()
        elif self._bar.speaking:
            self.begins.emit()
            if self._passage is not None:
                self._show(self._passage[0])
            self._voice.record()

    @Slot()
    def play(self) -> None:
        """Let it be heard from where the slider is, or pause."""
        if self._voice.playing:
            self._voice.stop()
        elif self.recording is not None and not self._voice.recording:
            at_s = self._bar.at_s
            at_end = at_s >= self.recording.lasts_s - _AT_END_S
            self._voice.play(self.recording, 0.0 if at_end else at_s)

    def _show(self, at_s: float) -> None:
        if self.recording is not None:
            self.shown.emit(replace(self.recording.at(at_s), t_s=at_s))

    @Slot(object)
    def _taken(self, recording: Recording) -> None:
        passage, self._passage = self._passage, None
        self.taken.emit(recording, passage)

    @Slot(float)
    def _played(self, at_s: float) -> None:
        self._bar.show_place(at_s)
        self._show(at_s)

    @Slot(float)
    def _sought(self, at_s: float) -> None:
        if self._voice.playing and self.recording is not None:
            self._voice.play(self.recording, at_s)
        self._show(at_s)

    @Slot()
    def _passage_begins(self) -> None:
        if self.recording is not None:
            self._passage = self._bar.at_s, self.recording.lasts_s
            self.refresh()

    @Slot()
    def _passage_ends(self) -> None:
        if self._passage is not None:
            begin = self._passage[0]
            self._passage = min(begin, self._bar.at_s), max(begin, self._bar.at_s)
            self.refresh()

    @Slot()
    def _split(self) -> None:
        self._voice.stop()
        self.split_wanted.emit(self._bar.at_s)

    @Slot()
    def _drop(self) -> None:
        self._voice.stop()
        self.drop_wanted.emit()
