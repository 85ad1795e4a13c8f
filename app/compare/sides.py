"""Which film is above, which below, and which one is in hand."""

from __future__ import annotations

from collections.abc import Iterator

from app.compare.side import CompareSide


class TwoSides:
    """The two sides, the upper one first; keys, tools and edits go to ``in_hand``."""

    def __init__(self, upper: CompareSide, lower: CompareSide) -> None:
        self.upper, self.lower = upper, lower
        self.in_hand = upper

    def __iter__(self) -> Iterator[CompareSide]:
        return iter((self.upper, self.lower))

    @property
    def other(self) -> CompareSide:
        """The side that is not in hand."""
        return self.lower if self.in_hand is self.upper else self.upper

    def swap(self) -> None:
        """The lower side comes above; the one in hand stays in hand."""
        self.upper, self.lower = self.lower, self.upper
