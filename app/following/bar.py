"""Over the film: how far following is, and which followed point is to be looked at next."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from analysis.values.words import tr
from app.action_button import action_button
from app.actions import Actions
from app.job_watch import said_of_work
from app.share_bar import ShareBar
from app.theme.tokens import Space


class FollowBar(QFrame):
    """Waits in its place and stops nothing; hidden while there is nothing to say.

    ``held``: it neither comes nor goes for now.

    Signals:
        cancelled(): follow no further.
        read(): what is said has been read.
    """

    cancelled = Signal()
    read = Signal()

    def __init__(self, actions: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "panel")
        self.setAccessibleName(tr("Followed points"))
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.share = ShareBar(self)
        self.share.setAccessibleName(tr("How much of the way the points were followed"))
        self.cancel = QPushButton(tr("Cancel"), self)
        self.cancel.clicked.connect(self.cancelled)
        self.follow = action_button(actions["follow_points"], tr("Follow the points"), self)
        self.right = action_button(actions["point_right"], tr("It is right"), self)
        self.next = action_button(actions["next_doubt"], tr("Next place"), self)
        self.close_words = QPushButton(tr("Not now"), self)
        self.close_words.clicked.connect(self.read)
        row = QHBoxLayout(self)
        row.setContentsMargins(Space.WIDE, Space.SMALL, Space.WIDE, Space.SMALL)
        row.setSpacing(Space.BASE)
        row.addWidget(self.words, 2)
        row.addWidget(self.share, 1, Qt.AlignmentFlag.AlignVCenter)
        self._parts = (self.share, self.cancel, self.follow, self.right, self.next, self.close_words)
        for part in self._parts[1:]:
            row.addWidget(part, 0, Qt.AlignmentFlag.AlignVCenter)
        self.held = False
        self.hide()

    def show_work(self, share: float, *, waiting: bool) -> None:
        """Points are being followed; ``share`` 0 to 1 is done. ``waiting``: other work has to end first."""
        words = tr("Following the points\N{HORIZONTAL ELLIPSIS} The window can be used meanwhile.")
        self.words.setText(said_of_work(words, waiting=waiting))
        self.share.show_share(share)
        self._show(self.share, self.cancel)

    def show_offer(self, sentence: str) -> None:
        """Something is to be followed, or followed again."""
        self.words.setText(sentence)
        self._show(self.follow, self.close_words)

    def show_doubt(self, sentence: str, *, here: bool) -> None:
        """Something is to be looked at; ``here``: it is on show, and may be right as it is."""
        self.words.setText(sentence)
        self._show(*((self.right,) if here else ()), self.next, self.close_words)

    def show_nothing(self) -> None:
        """Nothing is to be said."""
        self.words.clear()
        self._show()

    def _show(self, *parts: QWidget) -> None:
        for part in self._parts:
            part.setVisible(part in parts)
        if not self.held:
            self.setVisible(bool(parts))
