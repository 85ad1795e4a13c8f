"""From the master time to a film's own time and back: monotone, piecewise linear, as a value."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from operator import itemgetter

Knot = tuple[float, float]


@dataclass(frozen=True)
class TimeMap:
    """``knots``: pairs of master time and film time in s, both strictly rising. Beyond its ends both run at
    one pace, and so they do everywhere where there is one knot. ``slip_s``: added to the film's time.

    Raises ValueError without a knot, or where one of the two does not rise.
    """

    knots: tuple[Knot, ...] = ((0.0, 0.0),)
    slip_s: float = 0.0

    def __post_init__(self) -> None:
        if not self.knots:
            raise ValueError("a map of times needs a pair of times")
        for (master, film), (later, later_film) in pairwise(self.knots):
            if not (later > master and later_film > film):
                raise ValueError(f"times rise in both: {master}, {film} to {later}, {later_film}")

    @classmethod
    def offset(cls, film_s: float, master_s: float = 0.0) -> TimeMap:
        """At ``master_s`` the film is at ``film_s``, and both run at one pace."""
        return cls(((master_s, film_s),))

    def film_s(self, master_s: float) -> float:
        """The film's time at a master time."""
        return _carried(self.knots, 0, master_s) + self.slip_s

    def master_s(self, film_s: float) -> float:
        """The master time at a film's time; the inverse of ``film_s``."""
        return _carried(self.knots, 1, film_s - self.slip_s)

    def slipped(self, by_s: float) -> TimeMap:
        """The film later by so much at every master time."""
        return replace(self, slip_s=self.slip_s + by_s)


IDENTITY = TimeMap()
"""The film's own time is the master time."""


def _carried(knots: Sequence[Knot], from_: int, time_s: float) -> float:
    """``time_s`` of one column of the knots as a time of the other."""
    place = bisect_right(knots, time_s, key=itemgetter(from_)) - 1
    if place < 0:
        return knots[0][1 - from_] + (time_s - knots[0][from_])
    here = knots[place]
    if place == len(knots) - 1 or time_s == here[from_]:
        return here[1 - from_] + (time_s - here[from_])
    there = knots[place + 1]
    share = (time_s - here[from_]) / (there[from_] - here[from_])
    return here[1 - from_] + share * (there[1 - from_] - here[1 - from_])
