"""How well a coach repeats a tag: measured by tagging the same run twice without seeing the first tags."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class TaggingError:
    """``s_s``: standard uncertainty of one tagged event beside the frame interval's, s: the standard
    deviation of the retag differences over sqrt(2). ``pairs``: how many differences it rests on.
    """

    s_s: float
    pairs: int


@dataclass(frozen=True)
class TaggingSample:
    """One blind retagging by one coach, who is named by a code."""

    id: str
    coach: str
    error: TaggingError


def pooled(samples: Iterable[TaggingSample]) -> TaggingError | None:
    """Several samples as one: the root mean square, each weighted by its pairs; None where there is none."""
    errors = [sample.error for sample in samples if sample.error.pairs > 0]
    pairs = sum(error.pairs for error in errors)
    if pairs == 0:
        return None
    return TaggingError(math.sqrt(sum(e.pairs * e.s_s * e.s_s for e in errors) / pairs), pairs)
