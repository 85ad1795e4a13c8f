"""When an athlete changed: beyond the spread between runs, not only beyond errors of measuring."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
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
) -> Threshold | None:
    """The least change from ``before`` to ``after``, the runs of one day each, that counts as the athlete's.

    ``others``: the runs of the athlete's other days. With a published typical error ``1.96 TE sqrt(1/m1 +
    1/m2)``. Else None with one run on a side. With three days and more the spread between the days' means
    decides, from what is left of it beside the difference that is asked about (own): ``t(.975, days - 2) s
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
        return _between_days(days, measuring / math.sqrt(max(len(before), len(after))))
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


def _between_days(days: Sequence[Sequence[float]], measuring: float) -> Threshold:
    """``days``: the two that are compared, then the others; each of the two has two runs at least."""
    means = np.array([np.mean(day) for day in days])
    asked = (means[0] - means[1]) ** 2 / 2
    left = max(0.0, float(np.sum((means - means.mean()) ** 2) - asked))
    freedom = len(days) - 2
    spread = max(math.sqrt(left / freedom), measuring)
    beyond = math.hypot(float(stdtrit(freedom, 0.975)) * spread, _of_fewer_runs(days))
    return Threshold(beyond * math.sqrt(2), tr("spread between {days} days").format(days=len(days)), freedom)


def _of_fewer_runs(days: Sequence[Sequence[float]]) -> float:
    """What the means of the two days compared scatter beyond the spread of ``_between_days``, to be added as
    a variance, where the other days have more runs: the mean of m runs holds TE^2 / m of how runs scatter, of
    which that spread has a share of 1 / (others + 2) from the two days and the rest from the others. As
    ``t(.975, df) TE`` with TE pooled; 0 where the others have fewer runs and the rule is strict enough.
    """
    spread = pooled_spread(days)
    assert spread is not None
    shares = [1 / len(day) for day in days]
    others = len(days) - 2
    more = float(np.mean(shares[:2]) - np.mean(shares[2:])) * (others + 1) / (others + 2)
    quantile = float(stdtrit(spread.freedom, 0.975))
    return quantile * spread.typical_error * math.sqrt(max(0.0, more))
