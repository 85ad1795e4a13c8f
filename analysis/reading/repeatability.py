"""How well repeated measurements agree: typical error, limits of agreement, smallest change, ICC."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Agreement:
    """``bias``: mean of the differences; ``sd`` of them; ``low``, ``high``: limits of agreement."""

    bias: float
    sd: float
    low: float
    high: float


@dataclass(frozen=True)
class Reliability:
    """From the analysis of variance of subjects by trials: mean squares between subjects and of the error,
    ``sem`` in the unit of the data, and three intraclass correlations.
    """

    between: float
    error: float
    sem: float
    icc_1_1: float
    icc_2_1: float
    icc_3_1: float


def agreement(first: Sequence[float], second: Sequence[float], factor: float = 1.96) -> Agreement:
    """First less second: bias +- ``factor`` standard deviations (Bland JM, Altman DG (1986) Lancet 1:307-310,
    who print a factor of 2). Both of one length, two at least.
    """
    differences = np.asarray(first, dtype=np.float64) - np.asarray(second, dtype=np.float64)
    bias, sd = float(differences.mean()), float(differences.std(ddof=1))
    return Agreement(bias, sd, bias - factor * sd, bias + factor * sd)


def typical_error(first: Sequence[float], second: Sequence[float]) -> float:
    """Standard deviation of the differences over sqrt(2), in the unit of the data (Hopkins WG (2000) Sports
    Med 30:1-15).
    """
    return agreement(first, second).sd / math.sqrt(2)


def repeatability_coefficient(first: Sequence[float], second: Sequence[float]) -> float:
    """Twice the root mean square difference of repeats (Bland and Altman 1986), in the unit of the data."""
    differences = np.asarray(first, dtype=np.float64) - np.asarray(second, dtype=np.float64)
    return 2.0 * float(np.sqrt(np.mean(differences**2)))


def smallest_detectable_change(typical: float) -> float:
    """``1.96 sqrt(2) TE``, in the unit of the typical error (Weir JP (2005) J Strength Cond Res
    19:231-240).
    """
    return 1.96 * math.sqrt(2) * typical


def reliability(table: Sequence[Sequence[float]]) -> Reliability:
    """From a table of subjects (rows, two at least) by trials (columns, two at least).

    SEM = root of the error mean square of the two-way analysis, the trials' own shift left out (Weir 2005);
    ICC(1,1), (2,1), (3,1) after Shrout PE, Fleiss JL (1979) Psychol Bull 86:420-428.
    """
    x = np.asarray(table, dtype=np.float64)
    n, k = x.shape
    whole = x.mean()
    subjects = k * float(((x.mean(axis=1) - whole) ** 2).sum()) / (n - 1)
    trials = n * float(((x.mean(axis=0) - whole) ** 2).sum()) / (k - 1)
    within = float(((x - x.mean(axis=1, keepdims=True)) ** 2).sum()) / (n * (k - 1))
    rest = x - x.mean(axis=1, keepdims=True) - x.mean(axis=0, keepdims=True) + whole
    error = float((rest**2).sum()) / ((n - 1) * (k - 1))
    return Reliability(
        subjects,
        error,
        math.sqrt(error),
        (subjects - within) / (subjects + (k - 1) * within),
        (subjects - error) / (subjects + (k - 1) * error + k * (trials - error) / n),
        (subjects - error) / (subjects + (k - 1) * error),
    )
