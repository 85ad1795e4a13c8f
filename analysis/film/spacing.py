"""Whether the frames follow each other evenly."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median_low

import numpy as np

from analysis.values.film import FrameTimes
from analysis.values.words import tr

UNEVEN = 1.5
"""A gap this many times the ordinary interval is said; less is the trembling of a phone's clock."""


@dataclass(frozen=True)
class Spacing:
    """Capture time from frame to frame, in s: as a rule, and at most, before frame ``before``."""

    ordinary_s: float
    longest_s: float
    before: int

    @property
    def even(self) -> bool:
        """Whether no gap is long against the others."""
        return self.longest_s <= UNEVEN * self.ordinary_s


def spacing(times: FrameTimes) -> Spacing | None:
    """How the frames follow each other; None for a single picture."""
    if len(times) < 2:
        return None
    steps = np.diff(times.pts)
    longest = int(steps.argmax())
    ordinary = median_low(steps.tolist())  # one that is there, not a mean of two
    return Spacing(float(ordinary * times.time_base), float(steps[longest] * times.time_base), longest + 1)


def gap_note(times: FrameTimes) -> str | None:
    """A sentence on the longest gap between frames, if it is long."""
    found = spacing(times)
    if found is None or found.even:
        return None
    return tr(
        "The frames are not evenly spaced: before frame {frame} there is a gap of {gap:.0f} ms. "
        "An event in such a gap is known less well."
    ).format(frame=found.before, gap=found.longest_s * 1000)
