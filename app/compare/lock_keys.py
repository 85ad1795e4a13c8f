"""Keys, buttons and the chooser that lay two films side by side in another way, or slip one of them."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot

from analysis.reading.laying import Lock, LockKind
from analysis.values.words import tr
from app.actions import Actions
from app.compare.lock import moment_here
from app.compare.lock_bar import LockBar
from app.compare.pairing import Pairing
from app.compare.side import CompareSide
from app.compare.sides import TwoSides


class LockKeys(QObject):
    """Hands what the coach chooses to the pairing, and shows in the bar how the films lie.

    Signals: said(str): a sentence for the coach.
    """

    said = Signal(str)

    def __init__(
        self, sides: TwoSides, pairing: Pairing, bar: LockBar, actions: Actions, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._sides, self._pairing, self._bar = sides, pairing, bar
        pairing.laid.connect(self._laid)
        bar.lock_chosen.connect(self._choose)
        for side in sides:
            side.slip_asked.connect(self._slip_asked)
        for name, act in {
            "slip_back": self._slip_back,
            "slip_on": self._slip_on,
            "lock_first_movement": self._first_movement,
            "lock_here": self._here,
            "lock_events": self._events,
            "lock_place": self._place,
        }.items():
            actions.do(name, act)

    @Slot(object)
    def _choose(self, lock: Lock) -> None:
        self._pairing.choose(lock, self._sides.in_hand)

    @Slot()
    def _laid(self) -> None:
        pairing = self._pairing
        self._bar.show_lock(pairing.lock, pairing.moments, pairing.trouble)

    @Slot()
    def _first_movement(self) -> None:
        self._choose(Lock())

    @Slot()
    def _here(self) -> None:
        side = self._sides.in_hand
        moment = moment_here(side.look, side.pane.wanted)
        if moment is None:
            self.said.emit(tr("There is no event at or before this frame. Go to one first."))
        else:
            self._choose(Lock(LockKind.EVENT, moment))

    @Slot()
    def _events(self) -> None:
        self._choose(Lock(LockKind.ALL_EVENTS))

    @Slot()
    def _place(self) -> None:
        self._choose(Lock(LockKind.PLACE))

    @Slot(int)
    def _slip_asked(self, frames: int) -> None:
        side = self.sender()
        if isinstance(side, CompareSide):
            self._pairing.slip(side, frames)

    @Slot()
    def _slip_back(self) -> None:
        self._pairing.slip(self._sides.in_hand, -1)

    @Slot()
    def _slip_on(self) -> None:
        self._pairing.slip(self._sides.in_hand, 1)
