"""A sentence with the frames that it rests on; each click goes to the next of them, of many to their ends."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from analysis.values.words import tr
from app.run.link_button import LinkButton
from app.run.section_view import said

MOST_STOPS = 6
"""Nobody clicks through more frames than these: of more the first and the last are shown."""


class EvidenceLink(QWidget):
    """Attributes: ``go`` the button under the sentence.

    Signals: frame_requested(int).
    """

    frame_requested = Signal(int)

    def __init__(self, sentence: str, frames: Sequence[int], parent: QWidget) -> None:
        super().__init__(parent)
        self._frames = ends_of_many([int(frame) for frame in frames])
        self._next = 0
        self._sentence = sentence
        self.go = LinkButton(tr("Show"), self)
        self.go.clicked.connect(self._gone)
        self.go.setVisible(bool(self._frames))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(said(sentence, "", wrap=True))
        column.addWidget(self.go, 0, Qt.AlignmentFlag.AlignLeft)
        self._name()

    def _name(self) -> None:
        if not self._frames:
            return
        words = tr("Show frame {frame}").format(frame=self._frames[self._next])
        if len(self._frames) > 1:
            words = tr("{show}, {place} of {count}").format(
                show=words, place=self._next + 1, count=len(self._frames)
            )
        self.go.say(words)
        self.go.setAccessibleName(f"{words}: {self._sentence}")

    @Slot()
    def _gone(self) -> None:
        frame = self._frames[self._next]
        self._next = (self._next + 1) % len(self._frames)
        self._name()
        self.frame_requested.emit(frame)


def ends_of_many(frames: Sequence[int]) -> tuple[int, ...]:
    """The frames to go to: all of a few in their order, of many the first and the last of the film."""
    return tuple(frames) if len(frames) <= MOST_STOPS else (min(frames), max(frames))
