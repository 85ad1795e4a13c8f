"""Points placed on every 12th frame of rendered runs and followed between.

`python -m tests.bench.bench_following` prints a section in Markdown: how far the points themselves are off.
What is read from them is told by bench_posture. `--seeds A B`, `--films FOLDER`: which runs, and where
rendered films are kept.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections import defaultdict
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.values.run import Direction
from analysis.values.tracks import Standing, Tracks
from tests.bench.coverage_truth import CLICK_PX
from tests.bench.followed_clips import Clip, make_clip
from tests.bench.posture_truth import EVERY, placed

Floats = np.ndarray[Any, np.dtype[np.float64]]


class Tally:
    """Errors with their stated standard uncertainties and whether the 95 % interval held, by measure."""

    def __init__(self) -> None:
        self.errors: dict[str, list[float]] = defaultdict(list)
        self.held: dict[str, list[bool]] = defaultdict(list)
        self.frames = 0
        self.processor_s = 0.0
        self.clock_s = 0.0


def measure(clip: Clip, tally: Tally, seed: int) -> None:
    """Follow one clip and hold what is read against its truth."""
    numbers = clip.truth.numbers
    film = open_film(clip.path)
    rng = np.random.default_rng([seed, 99])
    frames = range(12, film.frames, EVERY)
    points = placed(clip, frames, rng)
    begun, at = time.process_time(), time.perf_counter()
    tracks = follow_points(film, points, frames[0], frames[-1], Direction(numbers["direction"]))
    tally.processor_s += time.process_time() - begun
    tally.clock_s += time.perf_counter() - at
    tally.frames += len(tracks)
    _pixels(clip, tracks, str(numbers["near_side"]), tally)


def _pixels(clip: Clip, tracks: Tracks, near: str, tally: Tally) -> None:
    truth = clip.pixels[tracks.first : tracks.last + 1][:, [clip.names.index(n) for n in tracks.names]]
    for column, name in enumerate(tracks.names):
        far = name.startswith(("left", "right")) and not name.startswith(near)
        for kind in (Standing.PLACED, Standing.FOLLOWED, Standing.GUESSED):
            rows = tracks.standing[:, column] == kind
            if not rows.any():
                continue
            off = tracks.places[rows, column] - truth[rows, column]
            key = f"point, {'far' if far else 'near'} side, {kind.name.lower()}, px"
            tally.errors[key] += off.ravel().tolist()
            inside = np.abs(off) <= 1.96 * tracks.u_px[rows, column][:, None]
            tally.held[key] += inside.ravel().tolist()


def _what(seeds: list[int]) -> str:
    return (
        f"Rendered runs of seeds {seeds[0]} to {seeds[-1]}, 240 frames a second, every point placed on every "
        f"{EVERY}th frame with {CLICK_PX} px of random error. RMS: root mean square error; 95 %: "
        "the error that 95 % stay within; held: how many stated 95 % intervals hold the truth."
    )


def rate_words(tally: Tally) -> str:
    """How fast points were followed."""
    return (
        f"{tally.frames / tally.clock_s:.0f} frames a second by the clock, decoding included; "
        f"{tally.frames / tally.processor_s:.0f} a second of processor time."
    )


def section(tallies: dict[float, Tally], seeds: list[int]) -> str:
    """The table as Markdown."""
    lines = [
        "## Points followed between placed frames",
        "",
        _what(seeds),
        "",
    ]
    for scale, tally in tallies.items():
        lines += [
            f"### {scale:g} px per metre",
            "",
            rate_words(tally),
            "",
            "| what | n | RMS | 95 % | held |",
            "|---|---|---|---|---|",
        ]
        for name in sorted(tally.errors):
            errors, held = np.abs(tally.errors[name]), 100 * np.mean(tally.held[name])
            rms, most = np.sqrt(np.mean(errors**2)), np.quantile(errors, 0.95)
            lines.append(f"| {name} | {len(errors)} | {rms:.2f} | {most:.2f} | {held:.1f} % |")
        lines.append("")
    return "\n".join(lines)


def main() -> None:
    """Render, follow, print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seeds", type=int, nargs=2, default=(201, 210))
    asked.add_argument("--scales", type=float, nargs="+", default=(100.0, 160.0))
    asked.add_argument("--films", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    seeds = list(range(wishes.seeds[0], wishes.seeds[1] + 1))
    tallies: dict[float, Tally] = {}
    with tempfile.TemporaryDirectory() as made:
        for scale in wishes.scales:
            tally = tallies.setdefault(scale, Tally())
            for seed in seeds:
                clip = make_clip(wishes.films or Path(made), seed, scale)
                measure(clip, tally, seed)
    print(section(tallies, seeds))


if __name__ == "__main__":
    main()
