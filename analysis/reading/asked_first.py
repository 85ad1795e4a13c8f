"""What a comparison is about before anybody looks: of many measures some always seem to have changed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scipy.special import ndtr, ndtri, stdtr, stdtrit

from analysis.reading.numbers import SPLITS
from analysis.reading.telling import ALPHA, holm
from analysis.values.comparison import Compared, MeasureKey
from analysis.values.estimate import Estimate
from analysis.values.questions import Verdict
from analysis.values.reading import Reading

_HEADLINES = (*SPLITS, "split_from_front_toe_off_s", "local_m_s")


def asked_first(before: Sequence[Reading]) -> tuple[MeasureKey, ...]:
    """What departed in the last run of the first side, and the split and speed at its farthest place: what
    was worked on, and what it was for.
    """
    if not before:
        return ()
    last = before[-1]
    judged = [one for answer in last.questions for one in answer.measures]
    departed = [
        MeasureKey(one.measure, one.moment, one.step) for one in judged if one.verdict is Verdict.OUTSIDE
    ]
    places = [split.x_m for split in last.splits]
    return (*departed, *(MeasureKey(name, x_m=max(places)) for name in _HEADLINES if places))


def surely_changed(rows: Sequence[Compared], first: Sequence[MeasureKey]) -> list[bool]:
    """Which of the changes stand when all that is asked together may be wrong in 5 % of all cases (Holm
    1979): what was asked first where a verdict on any of that is possible, else all of which one is.
    """
    possible = [n for n, row in enumerate(rows) if row.least is not None]
    family = [n for n in possible if rows[n].key in first] or possible
    kept = {n for n, keep in zip(family, holm([_p(rows[n]) for n in family]), strict=True) if keep}
    return [n in kept and row.change is not None for n, row in enumerate(rows)]


def least_together(row: Compared, asked: int) -> float | None:
    """The least change that counts where ``asked`` numbers are asked together, each at 5 % of its share
    (Bonferroni), so that one of them is called a change by chance in at most 5 % of all cases; None where no
    verdict is possible.
    """
    if row.least is None:
        return None
    share = 1 - ALPHA / 2 / asked
    if math.isinf(row.freedom):
        return row.least * float(ndtri(share)) / 1.959964
    return row.least * float(stdtrit(row.freedom, share) / stdtrit(row.freedom, 1 - ALPHA / 2))


def _p(row: Compared) -> float:
    """How likely so large a change of the means is without one of the athlete."""
    if not isinstance(row.difference, Estimate) or not row.least:
        return 1.0
    beyond = abs(row.difference.value) / row.least
    if math.isinf(row.freedom):
        return float(2.0 * ndtr(-1.959964 * beyond))
    return float(2.0 * stdtr(row.freedom, -beyond * float(stdtrit(row.freedom, 0.975))))
