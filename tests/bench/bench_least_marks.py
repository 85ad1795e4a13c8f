"""How many clicks the launch and the first strike cost where clicks are off, and whether they answer it:
`python3 -m tests.bench.bench_least_marks --write docs/validation.md`.

Runs of the sample renderer, marked and tagged, without a point; then what the walk asks for is clicked, 1.5
px off (normal), until it asks for nothing more.
"""

from __future__ import annotations

import argparse
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np

from analysis.reading import read
from analysis.sheet import read_sheet
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import BodyPoint
from app.marking.placing import near_side
from app.marking.wanted import stops_for, wishes
from sample_clips.film import Film
from sample_clips.scenarios import drawn
from sample_clips.truth import Truth, truth_of
from tests.bench.coverage_truth import CLICK_PX
from tests.bench.pages import tell

DRAWS = 3


def clicks(truth: Truth, seed: int) -> tuple[int, int, bool]:
    """Clicks and frames of a walk through the launch and the first strike, and whether all was read then."""
    numbers, arrays = truth.numbers["camera"], truth.arrays
    run = replace(read_sheet(truth.sheet, Path()).run, points=(), lines=())
    size = (2 * round(each) for each in numbers["principal_point_px"])
    facts = FilmFacts(FrameTimes.from_seconds([float(t) for t in arrays["times_s"]]), *size)
    names, rng = [str(name) for name in arrays["names"]], np.random.default_rng(seed)
    reading = read(Evidence(run, facts))
    ask = wishes(reading)[0].ask
    while stops := stops_for(reading, ask, near_side(run)):
        stop = stops[0]
        u, v = arrays["pixels"][stop.frame, names.index(stop.name)] + rng.normal(0.0, CLICK_PX, 2)
        point = BodyPoint(FrameNumber(stop.frame), stop.name, float(u), float(v))
        run = replace(run, points=(*run.points, point))
        reading = read(Evidence(run, facts))
    rows = [r for r in reading.posture if (r.measure, r.step, r.moment, r.side) in ask.keys]
    read_all = not any(isinstance(r.result, NoValue) for r in rows)
    return len(run.points), len({p.frame for p in run.points}), read_all


def main() -> None:
    """Walk, count, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seeds", type=int, nargs=2, default=(900, 919))
    asked.add_argument("--write", type=Path)
    wishes_of = asked.parse_args()
    first, last = wishes_of.seeds
    found: Counter[tuple[int, int]] = Counter()
    unread = 0
    for seed in range(first, last + 1):
        truth = truth_of(Film(drawn(seed)))
        for draw in range(DRAWS):
            count, frames, read_all = clicks(truth, 100 * seed + draw)
            found[count, frames] += 1
            unread += not read_all
    total = sum(found.values())
    lines = [
        f"{total} walks, seeds {first} to {last}, {DRAWS} draws of clicks each; left unread: {unread}.",
        "",
        "| clicks | frames | walks |",
        "|---|---|---|",
        *(
            f"| {count} | {frames} | {round(100 * times / total)} % |"
            for (count, frames), times in sorted(found.items())
        ),
    ]
    tell("\n".join(lines) + "\n", wishes_of.write, "least marks")


if __name__ == "__main__":
    main()
