"""How long a reading takes, beside a raw numpy cost. `python3 -m tests.bench.bench_read`

A run with 10 footfalls and 19 followed points over 700 frames (13,300 points), read as it is, and read again
after one line was dragged or one tag moved. Time of the processor, so that what else the machine does stays
out of it.
"""

from __future__ import annotations

import argparse
import itertools
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from analysis.reading import read
from analysis.reading.stages import KEPT
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import POINT_NAMES, BodyPoint
from analysis.values.tracks import Standing, Tracks
from tests.bench.coverage_truth import simulate
from tests.bench.pages import write_sections
from tests.bench.rows import spread

FRAMES = 700
_count = itertools.count(1)
FOOTFALLS = 10
MOVES = KEPT + 1
"""So many different moves of a tag in turn: of each it is forgotten what it gave before it comes again."""


def timed(act: Callable[[], object]) -> float:
    """Milliseconds of the processor that one call takes."""
    begun = time.process_time()
    act()
    return (time.process_time() - begun) * 1000


def followed(seed: int = 3) -> Evidence:
    """A run as following leaves it: every point on every frame of tracks, placed ones on every twelfth."""
    made = simulate(seed, 240).evidence
    run = made.run
    hips = {p.frame: p for p in run.points if p.name == "right_hip"}
    frames, known = np.arange(FRAMES), sorted(hips)
    u = np.interp(frames, known, [hips[f].u for f in known])
    v = np.interp(frames, known, [hips[f].v for f in known])
    spread_px = np.array([(7.0 * n, 11.0 * n) for n in range(len(POINT_NAMES))])
    places = np.stack([u, v], axis=1)[:, None] + spread_px
    shape = places.shape[:2]
    tracks = Tracks(
        "tracks",
        FrameNumber(0),
        POINT_NAMES,
        places,
        np.full(shape, 1.5),
        np.full(shape, Standing.FOLLOWED, dtype=np.uint8),
        np.full(shape[1], 6.0),
    )
    points = [
        BodyPoint(FrameNumber(int(f)), name, *map(float, places[f, n]))
        for f in frames[::12]
        for n, name in enumerate(POINT_NAMES)
    ]
    times = FrameTimes.from_seconds([n / 240 for n in range(max(FRAMES, made.film.frames))])
    run = replace(run, points=tuple(points), footfalls=run.footfalls[:FOOTFALLS])
    film = FilmFacts(times, made.film.width, made.film.height)
    return Evidence(run, film, tracks=tracks)


def dragged(evidence: Evidence, by_px: float) -> Evidence:
    """The same with one end of a line moved."""
    first, *others = evidence.run.lines
    moved = replace(first, upper=(first.upper[0] + by_px, first.upper[1]))
    return replace(evidence, run=replace(evidence.run, lines=(moved, *others)))


def retagged(evidence: Evidence, by_frames: int) -> Evidence:
    """The same with one touchdown tagged so many frames earlier."""
    before, at, *after = evidence.run.footfalls
    assert at.touchdown is not None
    moved = replace(at, touchdown=FrameNumber(at.touchdown - by_frames))
    return replace(evidence, run=replace(evidence.run, footfalls=(before, moved, *after)))


def renewed(evidence: Evidence) -> Evidence:
    """Equal evidence of new values, of which no stage knows anything."""
    film, run, tracks = evidence.film, evidence.run, evidence.tracks
    times = FrameTimes.from_seconds(list(film.times.seconds))
    nudged = tuple(replace(m, u=m.u + 1e-9 * next(_count)) for m in run.marks)
    assert tracks is not None
    return Evidence(
        replace(run, marks=nudged), FilmFacts(times, film.width, film.height), tracks=replace(tracks)
    )


def raw(evidence: Evidence) -> float:
    """The least: every point through one 3x3 map in numpy, pixels already in an array."""
    assert evidence.tracks is not None
    places = evidence.tracks.places.reshape(-1, 2)
    pixels = np.column_stack([places, np.ones(len(places))])
    matrix = np.eye(3)
    return float(np.median([timed(lambda: np.matmul(pixels, matrix).sum()) for _ in range(50)]))


def measured() -> str:
    """The rows of the table."""
    evidence = followed()
    drags = [dragged(evidence, 0.1 * n) for n in range(1, 31)]
    whole = [timed(lambda e=e: read(e)) for e in (renewed(evidence) for _ in range(30))]
    read(evidence)  # the others have pushed it out of what is kept
    after = [timed(lambda e=e: read(e)) for e in drags]
    tags = [timed(lambda e=e: read(e)) for e in (retagged(evidence, 1 + n % MOVES) for n in range(30))]
    rows = [
        ("raw: all points through one map, numpy", "", f"{raw(evidence):.2f} ms"),
        ("read", "20 ms", _shown(whole, 20)),
        ("read after dragging one line", "5 ms", _shown(after, 5)),
        ("read after moving one touchdown", "", spread(tags)),
    ]
    return "\n".join(f"| {what} | {goal} | {text} |" for what, goal, text in rows)


def _shown(took: list[float], goal: float) -> str:
    return spread(took) + (" ✓" if np.median(took) <= goal else " **missed**")


def main() -> None:
    """Measure and print; with ``--write PAGE`` set the page's own section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    table = measured()
    print(table)
    if wishes.write:
        body = f"| | goal | median / p95 / p99 |\n|---|---|---|\n{table}\n"
        write_sections(wishes.write, {"reading": body})


if __name__ == "__main__":
    main()
