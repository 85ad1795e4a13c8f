"""Which runs were read by the same marks, so that they share the marks' errors."""

from __future__ import annotations

import math
from collections.abc import Sequence

from analysis.values.estimate import Estimate
from analysis.values.reading import Reading
from analysis.values.run import GroundMark

_OWN_ID = 32
"""Letters of an id that the program gave; a mark of a run sheet is called by its number there."""


def set_ups_of(readings: Sequence[Reading]) -> tuple[int, ...]:
    """For each run, which of them is the first that was read by the same marks: its place in the row."""
    found: list[int] = []
    for place, reading in enumerate(readings):
        marks = reading.about.marks
        alike = (n for n in range(place) if share_marks(readings[n].about.marks, marks))
        found.append(found[first] if (first := next(alike, None)) is not None else place)
    return tuple(found)


def share_marks(one: Sequence[GroundMark], other: Sequence[GroundMark]) -> bool:
    """Whether at least half of the marks of either are the same ones: those of a camera place, or of another
    run on the same film.
    """
    same = sum(any(_same(a, b) for b in other) for a in one)
    return same > 0 and 2 * same >= max(len(one), len(other))


def _same(one: GroundMark, other: GroundMark) -> bool:
    if one.id == other.id and len(one.id) == _OWN_ID:
        return True
    return all(getattr(one, name) == getattr(other, name) for name in ("x_m", "y_m", "z_m", "u", "v"))


def mean_u(numbers: Sequence[Estimate], set_ups: Sequence[int]) -> float:
    """Standard uncertainty of the mean of numbers of several runs: what lasts is one error for all runs of a
    set-up, everything else is every run's own.
    """
    lasting: dict[int, float] = {}
    own = 0.0
    for number, set_up in zip(numbers, set_ups, strict=True):
        own += number.u**2 - number.lasting**2
        lasting[set_up] = lasting.get(set_up, 0.0) + number.lasting
    return math.sqrt(max(0.0, own) + sum(one**2 for one in lasting.values())) / len(numbers)
