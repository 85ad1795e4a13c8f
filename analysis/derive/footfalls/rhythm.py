"""What each contact of a run lasts by the others, and what its events are then likely to be."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.chances import Chances

Floats = npt.NDArray[np.float64]

_APART_S = 0.010
"""Within so much of the line through a run's contacts most of them last."""
_ODD = 0.3
"""The chance, next to that of the line's middle, that one lasts anything else."""


def in_rhythm(
    downs: Sequence[Chances], ups: Sequence[Chances], whole: Sequence[bool], rate_hz: float
) -> tuple[list[Chances], list[Chances]]:
    """The chances of touchdowns and toe-offs when contacts last as the run's others do; ``whole``: which of
    them the film shows from one to the other.
    """
    if sum(whole) < 3:
        return list(downs), list(ups)
    usual = _usual_s(downs, ups, whole, rate_hz)
    settled: tuple[list[Chances], list[Chances]] = ([], [])
    for down, up, shown, contact_s in zip(downs, ups, whole, usual, strict=True):
        settled[0].append(_shifted(down, up, -contact_s, rate_hz) if shown else down)
        settled[1].append(_shifted(up, down, contact_s, rate_hz) if shown else up)
    return settled


def _usual_s(
    downs: Sequence[Chances], ups: Sequence[Chances], whole: Sequence[bool], rate_hz: float
) -> list[float]:
    """What each contact lasts by the run's other ones: a straight line through the middle of all slopes."""
    lasts = np.array([(up.best - down.best) / rate_hz for down, up in zip(downs, ups, strict=True)])
    out = []
    for number in range(len(lasts)):
        others = np.array([k for k in range(len(lasts)) if whole[k] and k != number])
        i, j = np.triu_indices(len(others), 1)
        if len(others) < 2:
            out.append(float(lasts[number]))
            continue
        slopes = (lasts[others[j]] - lasts[others[i]]) / (others[j] - others[i])
        slope = float(np.median(slopes)) if len(others) > 2 else 0.0
        out.append(float(np.median(lasts[others] - slope * (others - number))))
    return out


def _shifted(one: Chances, other: Chances, by_s: float, rate_hz: float) -> Chances:
    """The chances of one event when it lies ``by_s`` from the other of its contact, or nearly so."""
    off = (one.times[:, None] - other.times[None] - by_s * rate_hz) / (_APART_S * rate_hz)
    factor = (1 / (1 + off**2 / 2) ** 1.5 + _ODD) @ other.share
    return one.times_likely(factor)
