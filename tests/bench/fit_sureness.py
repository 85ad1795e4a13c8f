"""How sure a draft may call itself. `python3 -m tests.bench.fit_sureness FOLDER`

Drafts runs of development (kept in FOLDER), none of which the nets have seen, and prints the two rows of
`timing.py` that turn a chance by the nets alone into what came true: isotonic regression, read off at a few
chances, each by Laplace's rule of succession, for where all of a few came true the next one need not. Never
to be run on the runs that judge.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
from scipy.optimize import isotonic_regression

from analysis.derive.footfalls import timing
from analysis.film import open_film
from tests.bench.bench_draft import Tally, drafted
from tests.bench.drafted_clips import SURENESS, made

PARTS = 6
LEAST, MOST = 0.02, 0.98  # nothing is called quite sure


def rows(sure: Sequence[tuple[float, bool]]) -> tuple[list[float], list[float]]:
    """Chances, and the share that came true at each, rising; from chances and whether each was right."""
    called, right = np.array(sorted(sure), float).T
    came = isotonic_regression(right, increasing=True).x
    edges = np.linspace(0, len(called), PARTS + 1).astype(int)
    parts = [slice(a, b) for a, b in pairwise(edges)]
    at = [0.0, *(float(np.mean(called[part])) for part in parts), 1.0]
    share = [float((came[part].sum() + 1) / (len(came[part]) + 2)) for part in parts]
    to = [LEAST, *share, min(MOST, share[-1] + 0.02)]
    return np.round(at, 3).tolist(), np.round(np.maximum.accumulate(to), 3).tolist()


def main() -> None:
    """Draw, draft, print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    folder = asked.parse_args().folder
    folder.mkdir(parents=True, exist_ok=True)
    timing.come_true = lambda chance: chance
    tally = Tally()
    for wish in SURENESS:
        clip = made(wish, folder)
        film = open_film(clip.path)
        truth = [(on * clip.fps, off * clip.fps, x) for on, off, _, x in clip.events]
        beside = [(on * clip.fps, off * clip.fps) for on, off in clip.beside]
        tally.add(drafted(clip), truth, film, 0.15 * film.shown_size[1], beside)
    called, came = rows(tally.sure)
    print(f"{len(tally.sure)} proposals\n_CALLED = {tuple(called)}\n_CAME_TRUE = {tuple(came)}")


if __name__ == "__main__":
    main()
