"""Do the numbers walk the right way: side differences, raggedness and courses over the steps of a run."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from scipy.optimize import isotonic_regression

from analysis.ground.carried import Carried, Number, covariances, result, weighed
from analysis.reading.series import Known, StepSeries
from analysis.reading.telling import ALPHA, p_value
from analysis.values.answers import Course, Way, together
from analysis.values.estimate import NoValue
from analysis.values.run import Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

LEAST_OF_A_SIDE = 2
"""So many steps of either foot are needed for a difference between them."""
LEFT_OVER = 0.5
"""What must be left of a difference between the feet when any one step is left out (own)."""
LEAST_STEPS = 3
COVARIANCE_DIGITS = 13
"""Errors of times, s^2, are told apart down to this digit: a millionth of a frame's at 240 a second."""
DIGITS = 6
"""A raggedness is told to the millionth of a second, so that it does not hang on the order of sums."""
DRAWS = 200
"""So many runs are drawn to tell what chance alone would make ragged."""


@dataclass(frozen=True, eq=False)
class SideCandidate:
    """Left less right of one measure; ``steady``: it stays when any one step is left out."""

    series: StepSeries
    difference: Number
    steady: bool


def side_difference(series: StepSeries) -> SideCandidate:
    """Left less right, from a least-squares fit of a course and a constant difference between the feet.

    The course is a parabola over the steps, so that numbers that level off do not look like a difference. A
    single step that stands out raises its own side too: such a difference does not stay when that step is
    left out, and is no side difference.
    """
    known = series.known()
    if min((known.left > 0).sum(), (known.left < 0).sum()) < LEAST_OF_A_SIDE:
        reason = tr("A difference between the feet needs at least two steps of each.")
        return SideCandidate(series, NoValue(reason), steady=False)
    whole = _left_less_right(known, bent=len(known.steps) > 4)
    if p_value(whole) >= ALPHA:
        return SideCandidate(series, whole, steady=False)
    parts = [_left_less_right(known.without(n), bent=len(known.steps) > 6) for n in range(len(known.steps))]
    size = float(whole.nominal_value)
    steady = all(float(part.nominal_value) / size >= LEFT_OVER and p_value(part) < ALPHA for part in parts)
    return SideCandidate(series, whole, steady)


def _left_less_right(known: Known, *, bent: bool) -> Carried:
    """Least squares over [1, step, step^2 where ``bent``, left]: twice the last coefficient."""
    return weighed(_side_shares(tuple(known.steps.tolist()), tuple(known.left.tolist()), bent), known.values)


@lru_cache(maxsize=256)
def _side_shares(steps: tuple[float, ...], left: tuple[float, ...], bent: bool) -> list[float]:
    """What each step has in that; the same for every number of the same steps."""
    step = np.array(steps) - np.mean(steps)
    columns = [np.ones_like(step), step, *([step**2] if bent else []), np.array(left)]
    shares: list[float] = (2.0 * np.linalg.pinv(np.stack(columns, axis=1))[-1]).tolist()
    return shares


def without_side(series: StepSeries, difference: Carried) -> list[Number]:
    """The differences from step to step, less what the difference between the feet makes of them."""
    return [
        d if isinstance(d, NoValue) else d - difference * (1.0 if side is Side.LEFT else -1.0)
        for d, side in zip(series.differences(), series.sides[1:], strict=True)
    ]


def course(series: StepSeries) -> Course:
    """Which way a number goes, and how ragged it is."""
    known = series.known()
    if len(known.values) < LEAST_STEPS:
        lacking = NoValue(tr("The way of a number needs at least three steps."))
        return Course(series.measure, Way.NOT_JUDGED, lacking)
    step = known.steps - known.steps.mean()
    change = weighed((step / float(step @ step)).tolist(), known.values)
    frames = together(series.frames)
    way = Way.UNTOLD
    if p_value(change) < ALPHA:
        way = Way.RIGHT if (change.nominal_value > 0) == series.rises else Way.WRONG
    if not series.measure.endswith("_s") or series.measure.endswith("_m_s"):
        return Course(series.measure, way, result(change), frames=frames)
    values = np.array([float(v.nominal_value) for v in known.values])
    chance = chance_raggedness(covariances(known.values), rises=series.rises)
    ragged = round(raggedness(values, rises=series.rises), DIGITS)
    return Course(series.measure, way, result(change), ragged, chance, frames=frames)


def nearest_in_order(values: Floats, *, rises: bool) -> Floats:
    """The nearest series, by least squares, that never goes against the direction (isotonic regression)."""
    found: Floats = isotonic_regression(values, increasing=rises).x
    return found


def raggedness(values: Floats, *, rises: bool) -> float:
    """Root mean square distance of a series from the nearest one that keeps the direction."""
    away = values - nearest_in_order(values, rises=rises)
    return float(np.sqrt(np.mean(away**2)))


def chance_raggedness(covariance: Floats, *, rises: bool) -> float:
    """What the raggedness of a run stays below in 95 of 100 by errors of measuring alone, those of
    ``covariance`` (n, n), where the true numbers are all equal: the hardest case, for numbers that walk the
    right way are less easily thrown out of order. Drawn, always alike.
    """
    return _drawn(np.round(covariance, COVARIANCE_DIGITS).tobytes(), len(covariance), rises)


@lru_cache(maxsize=64)
def _drawn(covariance: bytes, count: int, rises: bool) -> float:
    """The same; kept, since tags that move by whole frames leave their errors as they are."""
    matrix = np.frombuffer(covariance).reshape(count, count)
    least = 1e-9 * float(np.trace(matrix))  # a matrix of rounded numbers may miss being positive
    root = np.linalg.cholesky(matrix + least * np.eye(count))
    normal = np.random.default_rng(20).standard_normal((DRAWS, count))
    drawn = [raggedness(root @ row, rises=rises) for row in normal]
    return round(float(np.quantile(drawn, 1 - ALPHA)), DIGITS)
