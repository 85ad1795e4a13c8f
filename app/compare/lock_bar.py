"""The bar over two films: by what they are laid side by side, and how they are shown."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from analysis.reading.laying import Lock, LockKind, moment_words
from analysis.reading.lock import Moment
from analysis.values.words import tr
from app.actions import Actions
from app.film.transport import tool_button
from app.theme.tokens import Space


class LockBar(QWidget):
    """Chooses the lock, says where it can't be, and holds the buttons for both films.

    Signals:
        lock_chosen(Lock): the films shall be laid side by side in another way.
    """

    lock_chosen = Signal(object)

    def __init__(self, actions: Actions, parent: QWidget) -> None:
        super().__init__(parent)
        self._locks: list[Lock] = []
        label = QLabel(tr("Side by side at"), self)
        self.chooser = QComboBox(self)
        self.chooser.setAccessibleName(tr("What both films are laid side by side at"))
        self.chooser.setToolTip(tr("An event of both runs, all their events, or the same metre"))
        self.chooser.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.chooser.setMinimumContentsLength(20)
        self.chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.chooser.activated.connect(self._activated)
        self.trouble = QLabel(self)
        self.trouble.setProperty("role", "warning")
        self.trouble.setWordWrap(True)
        row = QHBoxLayout(self)
        row.setContentsMargins(Space.WIDE, Space.HAIR, Space.BASE, Space.HAIR)
        row.setSpacing(Space.BASE)
        for part in (label, self.chooser):
            row.addWidget(part, 0, Qt.AlignmentFlag.AlignVCenter)
        for name in ("lock_first_movement", "lock_here", "lock_events", "lock_place"):
            row.addWidget(tool_button(actions, name, self), 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.trouble, 1)
        for name in ("other_film", "swap_films", "same_scale"):
            row.addWidget(tool_button(actions, name, self), 0, Qt.AlignmentFlag.AlignVCenter)

    def show_lock(self, lock: Lock, moments: tuple[Moment, ...], trouble: str) -> None:
        """Show the lock among those that there are, and what is wrong with it."""
        locks = [Lock(LockKind.EVENT, moment) for moment in moments]
        if lock.kind is LockKind.EVENT and lock not in locks:
            locks.insert(0, lock)
        locks += [Lock(LockKind.ALL_EVENTS), Lock(LockKind.PLACE)]
        if locks != self._locks:
            self._locks = locks
            self.chooser.clear()
            self.chooser.addItems([lock_words(each) for each in locks])
        self.chooser.setCurrentIndex(next(n for n, each in enumerate(locks) if _alike(each, lock)))
        self.trouble.setText(trouble)

    @Slot(int)
    def _activated(self, place: int) -> None:
        self.lock_chosen.emit(self._locks[place])


def lock_words(lock: Lock) -> str:
    """A lock in words."""
    if lock.kind is LockKind.EVENT:
        return moment_words(lock.moment)
    return tr("All events") if lock.kind is LockKind.ALL_EVENTS else tr("The same metre")


def _alike(one: Lock, other: Lock) -> bool:
    return one.kind is other.kind and (one.kind is not LockKind.EVENT or one.moment == other.moment)
