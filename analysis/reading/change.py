"""When an athlete changed: beyond the spread between runs, not only beyond errors of measuring."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from analysis.values.comparison import PublishedError
from analysis.values.words import tr

LEAST_FREEDOM = 4
"""With fewer degrees of freedom a typical error says too little for a verdict."""
LEAST_DAYS = 3
"""From so many days on, the spread between days replaces that between the runs of a day."""


@dataclass(frozen=True)
class Threshold:
    """The least change of the mean that counts, what it rests on, in words, and its degrees of freedom.
    ``one_days``: it knows only how runs of one day differ, not how days do.
    """

    least: float
    rests_on: str
    freedom: float = math.inf
    one_days: bool = False


@dataclass(frozen=True)
class Spread:
    """Typical error within days, pooled, and its degrees of freedom."""

    typical_error: float
    freedom: int


def pooled_spread(days: Sequence[Sequence[float]]) -> Spread | None:
    """Typical error pooled over days: root of the summed squares about each day's mean over the sum of
    (runs - 1) (Hopkins WG (2000) Sports Med 30:1-15). None where no day has two runs.
    """
    freedom = sum(max(0, len(day) - 1) for day in days)
    if freedom == 0:
        return None
    squares = sum(float(np.sum((np.asarray(day) - np.mean(day)) ** 2)) for day in days if len(day))
    return Spread(math.sqrt(squares / freedom), freedom)


def smallest_detectable_change(typical: float) -> float:
    """``1.96 sqrt(2) TE``, in the unit of the typical error (Weir JP (2005) J Strength Cond Res
    19:231-240).
    """
    return 1.96 * math.sqrt(2) * typical


def threshold(
    before: Sequence[float],
    after: Sequence[float],
    others: Mapping[str, Sequence[float]],
    measuring: float = 0.0,
    published: PublishedError | None = None,
    with_after: Collection[str] = (),
) -> Threshold | None:
    """The least change from ``before`` to ``after``, the runs of one day each, that counts as the athlete's.

    ``others``: the runs of the athlete's other days; ``with_after``: which of them stand on the side of
    ``after``, all others on that of ``before``. With a published typical error ``1.96 TE sqrt(1/m1 + 1/m2)``.
    Else None with one run on a side. With three days and more the spread between the days' means decides,
    that within either side, pooled, so that no change between the sides is in it (own): ``t(.975, days - 2) s
    sqrt(2)``, and more where the other days have more runs, whose means lie closer together. Else
    ``t(.975, df) TE sqrt(1/m1 + 1/m2)``, None with fewer than four degrees of freedom.
    ``measuring``: standard uncertainty of one run's number. The spread holds it, so where few runs happen to
    lie closer together than that, it is taken in the spread's place (own).
    """
    runs = math.sqrt(1 / len(before) + 1 / len(after))
    if published is not None:
        return Threshold(1.959964 * published.typical_error * runs, published.source)
    if min(len(before), len(after)) < 2:
        return None
    days = [before, after, *others.values()]
    if len(days) >= LEAST_DAYS:
        sides = [
            [first, *(runs for day, runs in others.items() if (day in with_after) is late)]
            for first, late in ((before, False), (after, True))
        ]
        return _between_days(sides, measuring / math.sqrt(max(len(before), len(after))))
    spread = pooled_spread(days)
    least = least_beyond(spread, measuring, len(before), len(after))
    if spread is None or least is None:
        return None
    words = tr("{runs} runs on two days").format(runs=sum(map(len, days)))
    return Threshold(least, words, spread.freedom, one_days=True)


def least_beyond(spread: Spread | None, measuring: float, one: int, other: int) -> float | None:
    """``t(.975, df) TE sqrt(1/m1 + 1/m2)`` for means of ``one`` and of ``other`` runs; None with fewer than
    four degrees of freedom. ``measuring``: as in ``threshold``.
    """
    if spread is None or spread.freedom < LEAST_FREEDOM:
        return None
    beyond = float(stdtrit(spread.freedom, 0.975)) * max(spread.typical_error, measuring)
    return beyond * math.sqrt(1 / one + 1 / other)


def _between_days(sides: Sequence[Sequence[Sequence[float]]], measuring: float) -> Threshold:
    """``sides``: the days of either side of the change, first those that are compared; each of these two has
    two runs at least.
    """
    means = [np.array([np.mean(day) for day in side]) for side in sides]
    count = sum(map(len, means))
    freedom = count - 2
    left = sum(float(np.sum((side - side.mean()) ** 2)) for side in means)
    spread = max(math.sqrt(left / freedom), measuring)
    beyond = math.hypot(float(stdtrit(freedom, 0.975)) * spread, _of_fewer_runs(sides))
    return Threshold(beyond * math.sqrt(2), tr("spread between {days} days").format(days=count), freedom)


def _of_fewer_runs(sides: Sequence[Sequence[Sequence[float]]]) -> float:
    """What the means of the two days compared scatter beyond the spread of ``_between_days``, to be added as
    a variance, where the other days have more runs: the mean of m runs holds TE^2 / m of how runs scatter,
    and each day of a side of n has (1 - 1 / n) of its own in that spread. As ``t(.975, df) TE`` with TE
    pooled; 0 where the others have fewer runs and the rule is strict enough.
    """
    spread = pooled_spread([day for side in sides for day in side])
    assert spread is not None
    compared = float(np.mean([1 / len(side[0]) for side in sides]))
    held = sum((1 - 1 / len(side)) / len(day) for side in sides for day in side)
    more = compared - held / (sum(map(len, sides)) - 2)
    quantile = float(stdtrit(spread.freedom, 0.975))
    return quantile * spread.typical_error * math.sqrt(max(0.0, more))
