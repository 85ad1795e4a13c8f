"""Over each of two pictures: which film is being read for it, and how far."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot

from app.compare.sides import TwoSides
from app.film_shelf import FilmShelf, Order


class ComingFilms(QObject):
    """Shows what is being read: for the side in hand also a film that is to begin a run of its own.

    Signals: cancelled(): the film that is being opened for the side in hand is waited for no longer.
    """

    cancelled = Signal()

    def __init__(self, sides: TwoSides, films: FilmShelf, parent: QObject) -> None:
        super().__init__(parent)
        self._sides = sides
        self._opening = ""
        films.progressed.connect(self._heard)
        for side in sides:
            side.film_place.cancelled.connect(self.cancelled)

    @Slot(str)
    def show_opening(self, name: str) -> None:
        """A film of this name is being read for the side in hand; empty for none."""
        self._opening = name
        self.show_all()

    @Slot(float)
    def show_share(self, share: float) -> None:
        """So much of it was read, 0 to 1."""
        self._sides.in_hand.film_place.show_share(share)

    def show_all(self) -> None:
        """Show for both sides what they wait for now."""
        for side in self._sides:
            order = side.waits_for
            coming = self._opening if side is self._sides.in_hand else ""
            side.film_place.show_film(coming if order is None else order.path.name)

    @Slot(object, float)
    def _heard(self, order: Order, share: float) -> None:
        other = self._sides.other
        if order == other.waits_for:
            other.film_place.show_share(share)
