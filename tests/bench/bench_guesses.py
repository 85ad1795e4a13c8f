"""How far a far side that is guessed lies from the true one: `python3 -m tests.bench.bench_guesses`.

Runs as the sample renderer films them, near side placed without error on the frames of every event. Errors
along an axis, root mean square and what 95 % stay within, in shares of the trunk's length in the picture,
shoulder to hip: what app/marking/bodies.py stores a guess with.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import numpy as np

from analysis.sheet import read_sheet
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, StartPush
from app.marking.bodies import far_guesses
from app.marking.placing import near_side
from sample_clips.film import Film
from sample_clips.scenarios import drawn
from sample_clips.truth import Truth, truth_of

SEEDS = range(700, 730)


def strays(truth: Truth, *, tagged: bool) -> dict[str, list[float]]:
    """Errors of every guess on the frames of a run by part, in trunk lengths along an axis; ``tagged``:
    whether the events are known.
    """
    run = read_sheet(truth.sheet, Path()).run
    names = [str(name) for name in truth.arrays["names"]]
    near, pixels = near_side(run), truth.arrays["pixels"]
    events = [f for fall in run.footfalls for f in (fall.touchdown, fall.toe_off)] + [run.start.front_toe_off]
    marked = sorted({int(frame) for frame in events if frame is not None and frame < len(pixels)})
    points = tuple(
        BodyPoint(FrameNumber(frame), name, *map(float, pixels[frame, column]))
        for frame in marked
        for column, name in enumerate(names)
        if not name.startswith(near.other.value)
    )
    run = replace(run, points=points, lines=())
    if not tagged:
        run = replace(run, footfalls=(), start=StartPush(front_side=run.start.front_side))
    found: dict[str, list[float]] = defaultdict(list)
    for frame in marked:
        here = dict(zip(names, pixels[frame], strict=True))
        trunk = np.linalg.norm(here[f"{near.value}_shoulder"] - here[f"{near.value}_hip"])
        for guess in far_guesses(run, frame):
            found[guess.name.partition("_")[2]] += list((here[guess.name] - (guess.u, guess.v)) / trunk)
    return found


def main() -> None:
    """Measure both ways and print."""
    both: tuple[dict[str, list[float]], ...] = (defaultdict(list), defaultdict(list))
    for seed in SEEDS:
        truth = truth_of(Film(drawn(seed)))
        for found, tagged in zip(both, (False, True), strict=True):
            for part, errors in strays(truth, tagged=tagged).items():
                found[part] += errors
    for part in both[0]:
        cells = [
            f"{np.sqrt(np.mean(np.square(found[part]))):.2f} ({np.percentile(np.abs(found[part]), 95):.2f})"
            for found in both
        ]
        print(f"{part:10} mirrored {cells[0]}   half a stride away {cells[1]}")


if __name__ == "__main__":
    main()
