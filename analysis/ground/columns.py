"""A covariance as independent errors."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analysis.values.errors import MarkError
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]


def columns_of(covariance: Floats) -> Floats:
    """Changes of the free numbers by one standard uncertainty of each independent error, shape (k, free).

    Raises MarkError where the covariance is none.
    """
    variance = np.diag(covariance)
    if not np.all(np.isfinite(covariance)) or np.any(variance < 0):
        raise MarkError(tr("The marks don't determine a scale. Check their distances, or set more of them."))
    size = np.where(variance > 0, np.sqrt(variance), 1.0)
    values, vectors = np.linalg.eigh(covariance / np.outer(size, size))
    columns: Floats = (vectors * np.sqrt(np.clip(values, 0, None))).T * size
    kept: Floats = columns[np.any(columns != 0, axis=1)]
    return kept
