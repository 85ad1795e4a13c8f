"""Which frames an annotated film shows, in what order, and how fast."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from analysis.values.errors import CinderlaneError
from analysis.values.film import FrameTimes
from analysis.values.words import tr

MOST_HZ, LEAST_HZ = 60, 24
"""Any phone plays films of so many frames a second; below the least they jerk (common practice)."""
SLOWEST, FASTEST = 0.01, 1.0
LONGEST_HOLD_S = 10.0
_LITTLE = Fraction(1, 50)
_WHOLE_HZ = 0.02
"""A rate that lies so close to a whole number is that number: stored times are rounded (own)."""


@dataclass(frozen=True)
class Pace:
    """``speed``: share of real time; ``hold_s``: how long the film stands at every touchdown, s.

    Raises CinderlaneError where either can't be had.
    """

    speed: float = 0.25
    hold_s: float = 0.0

    def __post_init__(self) -> None:
        if not SLOWEST <= self.speed <= FASTEST:
            raise CinderlaneError(
                tr(
                    "A film is written at {least:g} to {most:g} times real time. Choose a speed between."
                ).format(least=SLOWEST, most=FASTEST)
            )
        if not 0 <= self.hold_s <= LONGEST_HOLD_S:
            raise CinderlaneError(
                tr("A film is held for 0 to {most:g} s. Choose a time between.").format(most=LONGEST_HOLD_S)
            )


@dataclass(frozen=True)
class Order:
    """``frames``: of the film that was taken, one for each picture of the one to be written, which plays at
    ``rate_hz``.
    """

    frames: tuple[int, ...]
    rate_hz: Fraction


def ordered(times: FrameTimes, first: int, last: int, stops: Iterable[int], pace: Pace) -> Order:
    """The frames ``first`` to ``last`` at a pace, held at each of the frames ``stops``.

    Every picture is shown equally often where that gives a rate that phones play; above that only every
    second, third, … is taken. Where the film's own times are uneven, its pictures come when they were taken.
    Raises FrameError where the film does not hold these frames.
    """
    begin, end = times.at(first), times.at(last)
    filmed = _rate(times, first, last)
    rate = filmed * Fraction(pace.speed).limit_denominator(1000)
    each, every = _whole(LEAST_HZ / rate), _whole(rate / MOST_HZ)
    share = Fraction(each, every)
    step = 1 / (filmed * share)  # of capture time, from one picture to the next
    slack = min(step, 1 / filmed) / 2  # stored times are rounded either way
    count = max(1, math.ceil((Fraction(end - begin) + 1 / filmed - slack) / step))
    taken = [times.last_at_or_before(begin + float(k * step + slack)) for k in range(count)]
    frames = [min(max(first, int(frame)), last) for frame in taken]
    stops = {stop for stop in stops if first <= stop <= last}
    return Order(_held(frames, stops, round(pace.hold_s * rate * share)), rate * share)


def _whole(times: Fraction) -> int:
    """So many times at least, and once; a rate that is a little beyond a limit will do."""
    return max(1, math.ceil(times - _LITTLE))


def _rate(times: FrameTimes, first: int, last: int) -> Fraction:
    """At how many frames a second a stretch was filmed."""
    whole_s = times.at(last) - times.at(first)
    if last <= first or whole_s <= 0:
        return Fraction(LEAST_HZ)
    rate = (last - first) / whole_s
    near = round(rate)
    return Fraction(near) if abs(rate - near) < _WHOLE_HZ else Fraction(rate).limit_denominator(1001)


def _held(frames: list[int], stops: Iterable[int], pictures: int) -> tuple[int, ...]:
    """The frames with each stop shown so many times more, where it is or would have been."""
    held = list(frames)
    for stop in stops:
        place = next((n for n, frame in enumerate(held) if frame >= stop), len(held))
        held[place:place] = [stop] * pictures
    return tuple(held)
