"""Whether the frames follow each other evenly."""

from __future__ import annotations

from dataclasses import dataclass, replace
from statistics import median_low

import numpy as np
import numpy.typing as npt

from analysis.values.film import FrameTimes
from analysis.values.words import tr

UNEVEN = 1.5
"""A gap this many times the ordinary interval is said; less is the trembling of a phone's clock."""

_BREAK_S = 10.0
"""No camera waits so long from frame to frame."""

_TINY = 50
"""Frames so many times closer than the ordinary were not filmed so: programs that put films together write
them where times would run backwards."""

_TINY_ONES = 3
"""So many of them are no chance (own)."""

_A_STRETCH = 6
"""So many short intervals in a row are another rate, fewer may be a clock that catches up (own)."""

_MANY = 0.1
"""Where more intervals than this share are short, it is no clock that catches up: the rate varies (own)."""


@dataclass(frozen=True)
class Spacing:
    """Capture time from frame to frame, in s: as a rule, and at most, before frame ``before``.

    ``quicker_s``: that of stretches in which frames follow each other clearly faster, the first of which is
    ``quicker``, from its first frame to its last; None where there is no such stretch. ``put_together``: the
    times of that stretch are made up. ``shortest_s``: the shortest interval where many are clearly shorter
    than the others, in no stretch; else None. ``rounded_to_s``: see FrameTimes.
    """

    ordinary_s: float
    longest_s: float
    before: int
    quicker_s: float | None = None
    quicker: tuple[int, int] = (0, 0)
    put_together: bool = False
    shortest_s: float | None = None
    rounded_to_s: float = 0.0

    @property
    def even(self) -> bool:
        """Whether the film has one rate, and no gap is long against the others."""
        return self.quicker_s is None and self.shortest_s is None and not self.has_gap

    @property
    def has_gap(self) -> bool:
        """Whether a gap is long against the others."""
        return self.longest_s > UNEVEN * self.ordinary_s


def spacing(times: FrameTimes) -> Spacing | None:
    """How the frames follow each other; None for a single picture."""
    if len(times) < 2:
        return None
    steps = np.diff(times.pts)
    longest, base = int(steps.argmax()), times.time_base
    ordinary = median_low(steps.tolist())  # one that is there, not a mean of two
    slow = _stretches(steps > UNEVEN * ordinary)
    if slow:  # slowed down in part, for fewer frames than are left: the others are the quick ones
        ordinary = median_low(_within(steps, slow))
    usual = steps[(steps > ordinary / 2) & (steps < UNEVEN * ordinary)]
    spaced = Spacing(
        float(usual.mean() * float(base)),  # the mean, since rounded times spoil the median
        float(steps[longest] * base),
        longest + 1,
        rounded_to_s=times.rounded_to_s,
    )
    made_up = np.flatnonzero(steps * _TINY < ordinary)
    if len(made_up) >= _TINY_ONES:
        quick = median_low(steps[made_up].tolist())
        where = int(made_up[0]), int(made_up[-1]) + 1
        return replace(spaced, quicker_s=float(quick * base), quicker=where, put_together=True)
    quicker = _stretches(steps * UNEVEN < ordinary)
    if not quicker:
        rounding = 1 if times.rounded_to_s else 0
        short = (steps + rounding) * UNEVEN < ordinary
        mixed = short.mean() > _MANY
        return replace(spaced, shortest_s=float(steps.min() * base)) if mixed else spaced
    return replace(spaced, quicker_s=float(median_low(_within(steps, quicker)) * base), quicker=quicker[0])


def _stretches(which: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Where so many intervals in a row are so that they are another rate: the first, behind the last."""
    edges = np.flatnonzero(np.diff(np.r_[0, which, 0])).reshape(-1, 2)
    return [(int(begin), int(end)) for begin, end in edges if end - begin >= _A_STRETCH]


def _within(steps: npt.NDArray[np.int64], stretches: list[tuple[int, int]]) -> list[int]:
    return [int(step) for begin, end in stretches for step in steps[begin:end]]


def two_rates_note(times: FrameTimes) -> str | None:
    """A sentence on a film that has two rates, as one has that was slowed down in part."""
    found = spacing(times)
    if found is None or found.quicker_s is None:
        return None
    if found.put_together:
        return put_together_note(found)
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


def put_together_note(found: Spacing) -> str:
    """A sentence on a stretch whose times are made up."""
    return tr(
        "The times of frames {first} to {last} are made up: the file was put together from several films by "
        "a program that lost their times. No time there means anything. Open the films themselves."
    ).format(first=found.quicker[0], last=found.quicker[1])


def gap_note(times: FrameTimes) -> str | None:
    """A sentence on the longest gap between frames, if it is long, or on intervals of many lengths."""
    found = spacing(times)
    if found is None:
        return None
    if not found.has_gap:
        return None if found.shortest_s is None else _mixed_note(found)
    if found.longest_s > _BREAK_S:
        return tr(
            "Before frame {frame} the film's times jump by {gap:.0f} s: a time is damaged, or films were put "
            "together. Times on either side of it can't be held against each other. Copy the film again, or "
            "open the file that the camera wrote."
        ).format(frame=found.before, gap=found.longest_s)
    return tr(
        "The frames are not evenly spaced: before frame {frame} there is a gap of {gap:.0f} ms. "
        "An event in such a gap is known less well."
    ).format(frame=found.before, gap=found.longest_s * 1000)


def _mixed_note(found: Spacing) -> str:
    return tr(
        "The frames are not evenly spaced: they are {shortest:.0f} to {longest:.0f} ms apart. "
        "An event in a longer interval is known less well."
    ).format(shortest=1000 * (found.shortest_s or 0.0), longest=1000 * found.longest_s)
