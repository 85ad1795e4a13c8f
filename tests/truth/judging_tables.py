"""Tables of what two statistics packages make of random numbers: `python3 -m tests.truth.judging_tables`.

Neither is needed to run Cinderlane or its tests; the tables are committed. They were written by statsmodels
0.15.0 (``multipletests``, method "holm") and scikit-learn 1.9.1 (``isotonic_regression``).
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

FOLDER = Path(__file__).parent / "data" / "judging"


def main() -> None:
    """Write both tables anew."""
    from sklearn.isotonic import isotonic_regression
    from statsmodels.stats.multitest import multipletests

    rng = np.random.default_rng(1979)
    with (FOLDER / "holm.csv").open("w", newline="") as file:
        out = csv.writer(file)
        for _ in range(200):
            p = rng.uniform(0, 1, rng.integers(1, 30)) ** rng.integers(1, 6)
            told = multipletests(p, alpha=0.05, method="holm")[0]
            out.writerow([" ".join(map(repr, p.tolist())), " ".join(str(int(t)) for t in told)])
    with (FOLDER / "isotonic.csv").open("w", newline="") as file:
        out = csv.writer(file)
        for n in range(100):
            values = rng.normal(0, 1, rng.integers(3, 12))
            rises = bool(n % 2)
            fitted = isotonic_regression(values, increasing=rises)
            out.writerow([int(rises), *(" ".join(map(repr, v.tolist())) for v in (values, fitted))])


if __name__ == "__main__":
    main()
