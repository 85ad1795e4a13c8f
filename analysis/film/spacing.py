"""Whether the frames follow each other evenly."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from statistics import median_low

from analysis.values.words import tr

UNEVEN = 1.5
"""A gap this many times the ordinary interval is said; less is the trembling of a phone's clock."""


def gap_note(pts: Sequence[int], tick_s: Fraction) -> str | None:
    """A sentence on the longest gap between frames, if it is long; ``tick_s``: s in one unit of ``pts``."""
    if len(pts) < 3:
        return None
    steps = [later - earlier for earlier, later in pairwise(pts)]
    longest = max(steps)
    if longest <= UNEVEN * median_low(steps):
        return None
    return tr(
        "The frames are not evenly spaced: before frame {frame} there is a gap of {gap:.0f} ms. "
        "An event in such a gap is known less well."
    ).format(frame=steps.index(longest) + 1, gap=float(longest * tick_s * 1000))
