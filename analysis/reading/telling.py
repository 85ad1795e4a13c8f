"""Can these two be told apart? One answer for every view, at 5 % over all comparisons asked together."""

from __future__ import annotations

from collections.abc import Sequence

from scipy.special import ndtr

from analysis.ground.carried import Carried, Number, spread
from analysis.values.estimate import Estimate, NoValue

ALPHA = 0.05
"""How often a family of comparisons without any real difference may tell one apart."""


def p_value(difference: Carried) -> float:
    """How likely so large a difference, of either sign, is by the errors alone.

    Errors that both numbers share have cancelled in ``difference``. Normal tails, scaled so that the ends of
    the 95 % interval have 0.05; where rectangular errors rule, tails are shorter than that and the value is
    on the safe side below 0.05.
    """
    _, half = spread(difference)
    return _two_sided(abs(float(difference.nominal_value)), half)


def estimate_p(difference: Estimate) -> float:
    """The same of a difference that stands as an estimate."""
    return _two_sided(abs(difference.value), difference.half_width)


def _two_sided(away: float, half: float) -> float:
    if half <= 0.0:
        return 0.0 if away > 0 else 1.0
    return float(2.0 * ndtr(-1.959964 * away / half))


def holm(p_values: Sequence[float], alpha: float = ALPHA) -> list[bool]:
    """Which of several findings stand when all of them together may be wrong in ``alpha`` of all cases.

    Step-down: the smallest p must lie below alpha / n, the next below alpha / (n - 1), and so on to the first
    that does not (Holm S (1979) Scand J Stat 6:65-70).
    """
    kept = [False] * len(p_values)
    for rank, place in enumerate(sorted(range(len(p_values)), key=p_values.__getitem__)):
        if p_values[place] > alpha / (len(p_values) - rank):
            break
        kept[place] = True
    return kept


def told_apart(differences: Sequence[Number], alpha: float = ALPHA) -> list[bool]:
    """For every difference, whether its two numbers can be told apart, all of them judged together.

    A difference without a number is not told apart and does not count among the comparisons.
    """
    there = [(n, d) for n, d in enumerate(differences) if not isinstance(d, NoValue)]
    kept = holm([p_value(d) for _, d in there], alpha)
    told = {n for (n, _), keep in zip(there, kept, strict=True) if keep}
    return [n in told for n in range(len(differences))]
