"""Whether the frames follow each other evenly."""

from __future__ import annotations

from dataclasses import dataclass, replace
from statistics import median_low

import numpy as np

from analysis.values.film import FrameTimes
from analysis.values.words import tr

UNEVEN = 1.5
"""A gap this many times the ordinary interval is said; less is the trembling of a phone's clock."""

_PUT_TOGETHER_UNITS = 2
"""Frames so few units of the file's clock apart were not filmed so: programs that put films together write
them where times would run backwards."""

_FINE_UNITS = 20
"""In a film whose ordinary interval has more units of its clock than this."""

_A_STRETCH = 6
"""So many short intervals in a row are another rate, fewer may be a clock that catches up (own)."""


@dataclass(frozen=True)
class Spacing:
    """Capture time from frame to frame, in s: as a rule, and at most, before frame ``before``.

    ``quicker_s``: that of stretches in which frames follow each other clearly faster, the first of which is
    ``quicker``, from its first frame to its last; None where there is no such stretch. ``put_together``: the
    times of that stretch are made up. ``rounded_to_s``: see FrameTimes.
    """

    ordinary_s: float
    longest_s: float
    before: int
    quicker_s: float | None = None
    quicker: tuple[int, int] = (0, 0)
    put_together: bool = False
    rounded_to_s: float = 0.0

    @property
    def even(self) -> bool:
        """Whether the film has one rate, and no gap is long against the others."""
        return self.quicker_s is None and self.longest_s <= UNEVEN * self.ordinary_s


def spacing(times: FrameTimes) -> Spacing | None:
    """How the frames follow each other; None for a single picture."""
    if len(times) < 2:
        return None
    steps = np.diff(times.pts)
    longest = int(steps.argmax())
    ordinary = median_low(steps.tolist())  # one that is there, not a mean of two
    base = times.time_base
    spaced = Spacing(
        float(ordinary * base),
        float(steps[longest] * base),
        longest + 1,
        rounded_to_s=times.rounded_to_s,
    )
    short = steps * UNEVEN < ordinary
    edges = np.flatnonzero(np.diff(np.r_[0, short, 0])).reshape(-1, 2)  # the first, behind the last
    runs = [(int(begin), int(end)) for begin, end in edges if end - begin >= _A_STRETCH]
    if not runs:
        return spaced
    quick = median_low(np.concatenate([steps[begin:end] for begin, end in runs]).tolist())
    made_up = quick <= _PUT_TOGETHER_UNITS and ordinary > _FINE_UNITS
    return replace(spaced, quicker_s=float(quick * base), quicker=runs[0], put_together=made_up)


def two_rates_note(times: FrameTimes) -> str | None:
    """A sentence on a film that has two rates, as one has that was slowed down in part."""
    found = spacing(times)
    if found is None or found.quicker_s is None:
        return None
    if found.put_together:
        return put_together(found)
    return tr(
        "The film changes its rate: {ordinary:.0f} frames per second as a rule, {quicker:.0f} from frame "
        "{first} to frame {last}. A film that was slowed down in part looks so, and times in its slow part "
        "are too long: use the file as the camera wrote it. A camera in poor light does it too; then times "
        "are right."
    ).format(
        ordinary=1 / found.ordinary_s,
        quicker=1 / found.quicker_s,
        first=found.quicker[0],
        last=found.quicker[1],
    )


def put_together(found: Spacing) -> str:
    """A sentence on a stretch whose times are made up."""
    return tr(
        "The times of frames {first} to {last} are made up: the file was put together from several films by "
        "a program that lost their times. No time there means anything. Open the films themselves."
    ).format(first=found.quicker[0], last=found.quicker[1])


def gap_note(times: FrameTimes) -> str | None:
    """A sentence on the longest gap between frames, if it is long."""
    found = spacing(times)
    if found is None or found.longest_s <= UNEVEN * found.ordinary_s:
        return None
    return tr(
        "The frames are not evenly spaced: before frame {frame} there is a gap of {gap:.0f} ms. "
        "An event in such a gap is known less well."
    ).format(frame=found.before, gap=found.longest_s * 1000)
