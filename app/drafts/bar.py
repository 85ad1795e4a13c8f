"""Over the film: the offer to draft, how far drafting is, how many drafts wait, and what was not found."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from analysis.values.words import tr, tr_count
from app.action_button import action_button
from app.actions import Actions
from app.job_watch import said_of_work
from app.share_bar import ShareBar
from app.theme.tokens import TARGET_PX, Space


class DraftBar(QFrame):
    """Waits in its place and stops nothing; hidden while there is nothing to say.

    Signals:
        cancelled(): look no further.
        read(): what was said has been read.
        declined(): this run is tagged by hand.
        level_chosen(int): drafts at least so sure, in %, are confirmed by one key.
    """

    cancelled = Signal()
    read = Signal()
    declined = Signal()
    level_chosen = Signal(int)

    def __init__(self, actions: Actions, level: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "panel")
        self.setAccessibleName(tr("Drafts of footfalls"))
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.share = ShareBar(self)
        self.share.setAccessibleName(tr("How much of the film was looked at"))
        self.offer = QLabel(tr("No footfall is marked yet."), self)
        self.offer.setWordWrap(True)
        self.draft = action_button(actions["draft_footfalls"], tr("Draft every footfall"), self)
        self.by_hand = QPushButton(tr("By hand"), self)
        self.by_hand.clicked.connect(self.declined)
        self.cancel = QPushButton(tr("Cancel"), self)
        self.cancel.clicked.connect(self.cancelled)
        self.swap = action_button(actions["swap_drafts"], tr("Other foot first"), self)
        self.sure = action_button(actions["confirm_sure"], tr("Confirm all from"), self)
        self.level = QSpinBox(self)
        self.level.setRange(50, 100)
        self.level.setSuffix(tr(" %"))
        self.level.setValue(level)
        self.level.setMinimumHeight(TARGET_PX)
        self.level.setAccessibleName(tr("How sure a draft must be to be confirmed with the others"))
        self.level.valueChanged.connect(self.level_chosen)
        self.close_notes = QPushButton(tr("Understood"), self)
        self.close_notes.clicked.connect(self.read)
        row = QHBoxLayout()
        row.setSpacing(Space.BASE)
        row.addWidget(self.share, 1, Qt.AlignmentFlag.AlignVCenter)
        row.addStretch(0)
        self._parts: tuple[QWidget, ...] = (
            self.offer,
            self.draft,
            self.by_hand,
            self.cancel,
            self.swap,
            self.sure,
            self.level,
            self.close_notes,
        )
        for part in self._parts:
            row.addWidget(part, 1 if part is self.offer else 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.WIDE, Space.SMALL, Space.WIDE, Space.SMALL)
        column.setSpacing(Space.TIGHT)
        column.addWidget(self.words)
        column.addLayout(row)
        self.hide()

    def show_offer(self) -> None:
        """Nothing is tagged yet: the film can be looked through, or each event be tagged."""
        self._show(self.offer, self.draft, self.by_hand)

    def show_progress(self, share: float, *, drafts: bool = True, waiting: bool = False) -> None:
        """The film is being looked at, for ``drafts`` or for the strip alone; ``share`` 0 to 1 is done.
        ``waiting``: other work has to end first.
        """
        words = (
            tr("Looking for every footfall\N{HORIZONTAL ELLIPSIS} The window can be used meanwhile.")
            if drafts
            else tr("Making the ground strip\N{HORIZONTAL ELLIPSIS} The window can be used meanwhile.")
        )
        self.words.setText(said_of_work(words, waiting=waiting))
        self.share.show_share(share)
        self._show(self.share, self.cancel)

    def show_drafts(self, waiting: int, notes: Sequence[str]) -> None:
        """So many drafts wait for a word; ``notes``: what was not found or left out."""
        lines = list(notes)
        if waiting:
            lines.insert(
                0,
                tr_count(
                    "{count} draft to confirm. Return: right, on to the next. Delete: no footfall.",
                    "{count} drafts to confirm. Return: right, on to the next. Delete: no footfall.",
                    waiting,
                ).format(count=waiting),
            )
        self.words.setText("\n".join(lines))
        parts: list[QWidget] = [self.swap, self.sure, self.level] if waiting else []
        if notes:
            parts.append(self.close_notes)
        self._show(*parts)

    def _show(self, *parts: QWidget) -> None:
        for part in (self.share, *self._parts):
            part.setVisible(part in parts)
        self.words.setVisible(self.offer not in parts)
        self.setVisible(bool(parts))
