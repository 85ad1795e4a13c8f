"""Weighted least squares with the uncertainty of what was fitted: one fitter for every curve."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.optimize import least_squares

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Fit:
    """``parameters``, shape (p,); ``covariance`` of them at unit variance of a residual, (p, p);
    ``residuals`` (n,); ``jacobian`` of the residuals (n, p); ``converged``: the fitter found a minimum.
    """

    parameters: Floats
    covariance: Floats
    residuals: Floats
    jacobian: Floats
    converged: bool

    @property
    def rss(self) -> float:
        """Sum of squared residuals."""
        return float(self.residuals @ self.residuals)

    @property
    def freedom(self) -> int:
        """Residuals less parameters."""
        return len(self.residuals) - len(self.parameters)

    @property
    def standard_errors(self) -> Floats:
        """Of the parameters, the residual variance taken from the fit itself, shape (p,)."""
        out: Floats = np.sqrt(np.diag(self.covariance) * self.rss / max(1, self.freedom))
        return out


def fit(
    residuals: Callable[[Floats], Floats],
    start: Floats,
    jacobian: Callable[[Floats], Floats] | None = None,
) -> Fit:
    """The parameters that make the sum of squared ``residuals`` least, from ``start``.

    ``residuals(parameters)``: shape (n,), each over its own standard uncertainty, n >= p.
    ``jacobian(parameters)``: their derivatives, shape (n, p); by differences where it is not given. Levenberg
    and Marquardt's method.
    """
    with np.errstate(over="ignore"):  # a step that is tried and goes too far is taken back
        found = least_squares(
            residuals,
            np.asarray(start, dtype=np.float64),
            jac=jacobian if jacobian is not None else "2-point",
            method="lm",
            x_scale=1.0,
            ftol=1e-14,
            xtol=1e-14,
            gtol=1e-14,
            max_nfev=2000,
        )
    matrix = found.jac
    size = np.linalg.norm(matrix, axis=0)
    size = np.where(size > 0, size, 1.0)
    covariance = np.linalg.pinv((matrix / size).T @ (matrix / size)) / np.outer(size, size)
    return Fit(found.x, covariance, found.fun, matrix, bool(found.success))
