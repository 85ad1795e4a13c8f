"""The other run's body over a film: on each side where the coach wants it, at the event that is on show."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot

from analysis.report.other_body import Meet, other_body
from analysis.report.scene import OtherBody
from app.actions import Actions
from app.compare.pairing import Pairing
from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.film.body_run import body_run


class BodiesOver(QObject):
    """Worked out for the frames on show only, and only where another one is wanted than lies there."""

    def __init__(self, sides: TwoSides, pairing: Pairing, actions: Actions, parent: QObject) -> None:
        super().__init__(parent)
        self._sides, self._pairing, self._actions = sides, pairing, actions
        self._done: dict[CompareSide, object] = {}
        for side in sides:
            side.other_body.clicked.connect(self._clicked)
            side.other_body.toggled.connect(self.show_bodies)
        actions.do("other_body", self._toggle)
        actions.do("other_body_toe", self._meet)
        pairing.laid.connect(self._laid)

    @Slot()
    def show_bodies(self) -> None:
        """Lay them over the frames on show."""
        upper, lower = self._sides.upper, self._sides.lower
        for side, other in ((upper, lower), (lower, upper)):
            self._show(side, other)
        self._actions["other_body"].setChecked(self._sides.in_hand.other_body.isChecked())

    def _show(self, side: CompareSide, other: CompareSide) -> None:
        wanted = side.other_body.isChecked()
        rests_on = wanted and (side.look, other.look, side.frame, self._pairing.meet)
        if self._done.get(side) == rests_on:
            return
        self._done[side] = rests_on
        side.lay_over(_body(side, other, self._pairing.meet) if wanted else None)

    @Slot()
    def _toggle(self) -> None:
        self._sides.in_hand.other_body.setChecked(self._actions["other_body"].isChecked())
        self._pairing.keep()

    @Slot()
    def _clicked(self) -> None:
        self._pairing.keep()

    @Slot()
    def _meet(self) -> None:
        self._pairing.meet = Meet.TOE if self._actions["other_body_toe"].isChecked() else Meet.HIPS
        self._pairing.keep()
        self.show_bodies()

    @Slot()
    def _laid(self) -> None:
        self._actions["other_body_toe"].setChecked(self._pairing.meet is Meet.TOE)
        self.show_bodies()


def _body(side: CompareSide, other: CompareSide, meet: Meet) -> OtherBody | None:
    own, theirs = body_run(side.look), body_run(other.look)
    return None if own is None or theirs is None else other_body(own, side.frame, theirs, meet)
