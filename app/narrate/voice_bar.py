"""Buttons and signs of the voice: whether it records, how loud, where the playing is, which passage."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QSlider, QVBoxLayout, QWidget

from analysis.values.recording import Recording
from analysis.values.words import tr
from app.theme.tokens import TARGET_PX, Space

_CONSENT = tr(
    "What is spoken is kept in the project file, and is in every film that is made with it. It is personal "
    "data: let those who can be heard agree first, and name nobody who has not."
)


class VoiceBar(QWidget):
    """Shows how it stands with the voice.

    Attributes: ``record``, ``play``, ``begin``, ``end``, ``split``, ``drop`` the buttons, ``place`` the
    slider over the recording in ms, ``level`` the meter, ``sign`` that it records; ``speaking`` whether a
    take may begin here.
    Signals:
        sought(float): the coach goes to a time of the recording, in s.
    """

    sought = Signal(float)

    def __init__(self, parent: QWidget, *, speaking: bool) -> None:
        super().__init__(parent)
        self.speaking = speaking
        self._quiet = False
        self._lasts_s = 0.0
        self.sign = QLabel(self)
        self.sign.setProperty("role", "recording")
        self.sign.setAccessibleName(tr("Recording"))
        self.level = QProgressBar(self)
        self.level.setRange(0, 100)
        self.level.setTextVisible(False)
        self.level.setAccessibleName(tr("How loud it is"))
        self.level.setFixedWidth(120)
        self.place = QSlider(Qt.Orientation.Horizontal, self)
        self.place.setAccessibleName(tr("Place in what was spoken"))
        self.place.setMinimumHeight(TARGET_PX)
        self.place.setSingleStep(100)
        self.place.setPageStep(1000)
        self.where = QLabel(self)
        self.record = _button(tr("Record (V)"), tr("Begin to record the voice; again: end"), self)
        self.play = _button(tr("Play (P)"), tr("Hear what was spoken, with the film; again: pause"), self)
        self.begin = _button(tr("Again from here"), tr("The passage to be spoken again begins here"), self)
        self.end = _button(tr("to here"), tr("The passage to be spoken again ends here"), self)
        self.split = _button(tr("Split here"), tr("Make two narrations, the second one from here on"), self)
        self.drop = _button(tr("Remove the voice"), tr("Take what was spoken out of the project"), self)
        self.passage = QLabel(self)
        self.passage.setProperty("role", "caption")
        self.consent = QLabel(_CONSENT, self)
        self.consent.setProperty("role", "caption")
        self.consent.setWordWrap(True)
        self._lay_out()
        self.place.valueChanged.connect(self._moved)

    def _lay_out(self) -> None:
        first, second = QHBoxLayout(), QHBoxLayout()
        for part in (self.record, self.sign, self.level, self.play):
            first.addWidget(part)
        first.addWidget(self.place, 1)
        first.addWidget(self.where)
        self._rest = QWidget(self)  # in the place of the slider where there is none
        first.addWidget(self._rest, 1)
        for part in (self.begin, self.end, self.split, self.drop):
            second.addWidget(part)
        self.passage.setWordWrap(True)
        second.addWidget(self.passage, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(Space.TIGHT)
        for row in (first, second):
            row.setSpacing(Space.BASE)
            whole.addLayout(row)
        whole.addWidget(self.consent)

    def show_state(
        self,
        recording: Recording | None,
        passage: tuple[float, float] | None,
        *,
        records: bool,
        plays: bool,
    ) -> None:
        """Show what there is and what goes on. ``passage``: to be spoken again, from and to, in s."""
        self.record.setText(tr("Stop (V)") if records else tr("Record (V)"))
        self.play.setText(tr("Pause (P)") if plays else tr("Play (P)"))
        self.sign.setVisible(records)
        self.level.setVisible(records)
        self.record.setVisible(self.speaking)
        self.consent.setVisible(self.speaking)
        there = recording is not None and not records
        self.play.setVisible(there)
        self.place.setVisible(there)
        self.where.setVisible(there)
        self._rest.setVisible(not there)
        for part in (self.begin, self.end, self.split, self.drop, self.passage):
            part.setVisible(there and self.speaking)
        self._lasts_s = 0.0 if recording is None else recording.lasts_s
        self._quiet = True
        self.place.setRange(0, round(self._lasts_s * 1000))
        self._quiet = False
        self.end.setEnabled(passage is not None)
        self.passage.setText(
            tr("The next take is spoken in the place of all of it")
            if passage is None
            else tr("The next take is spoken in the place of {begin} to {end} s").format(
                begin=f"{passage[0]:.1f}", end=f"{passage[1]:.1f}"
            )
        )
        self._say_where()

    def show_take(self, lasts_s: float, level: float) -> None:
        """How long the take is, and how loud."""
        self.sign.setText(f"● {tr('Recording')}  {_clock(lasts_s)}")
        self.level.setValue(round(100 * level))

    def show_place(self, at_s: float) -> None:
        """Where the playing is."""
        self._quiet = True
        self.place.setValue(round(at_s * 1000))
        self._quiet = False
        self._say_where()

    @property
    def at_s(self) -> float:
        """The place in the recording, in s."""
        return min(self.place.value() / 1000, self._lasts_s)

    @Slot(int)
    def _moved(self, value: int) -> None:
        self._say_where()
        if not self._quiet:
            self.sought.emit(value / 1000)

    def _say_where(self) -> None:
        self.where.setText(f"{_clock(self.at_s)} / {_clock(self._lasts_s)}")


def _button(words: str, hint: str, parent: QWidget) -> QPushButton:
    button = QPushButton(words, parent)
    button.setToolTip(hint)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button


def _clock(time_s: float) -> str:
    minutes, seconds = divmod(time_s, 60.0)
    return f"{int(minutes)}:{seconds:04.1f}"
