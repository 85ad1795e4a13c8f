"""Carried numbers drawn anew: what JCGM 101:2008 calls propagation of distributions."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import RECTANGULAR, Carried

Floats = npt.NDArray[np.float64]

DRAWS = 400_000


def drawn(numbers: Sequence[Carried], draws: int = DRAWS, seed: int = 1) -> list[Floats]:
    """Each number ``draws`` times, errors drawn together: rectangular ones evenly, the others normal."""
    rng = np.random.default_rng(seed)
    found = [np.full(draws, float(n.nominal_value)) for n in numbers]
    for source in {s for n in numbers for s in n.derivatives}:
        u = float(source.std_dev)
        half = u * math.sqrt(3.0)
        errors = rng.uniform(-half, half, draws) if source.tag == RECTANGULAR else rng.normal(0, u, draws)
        for place, number in enumerate(numbers):
            if source in number.derivatives:
                found[place] += number.derivatives[source] * errors
    return found


def interval(of: Callable[..., Floats], *numbers: Carried) -> tuple[float, float]:
    """The ends between which 95 of 100 draws of a function of carried numbers lie, as many below as above."""
    low, high = np.percentile(of(*drawn(numbers)), [2.5, 97.5])
    return float(low), float(high)
