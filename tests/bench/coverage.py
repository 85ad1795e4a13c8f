"""How often stated 95 % intervals hold the truth. `python3 -m tests.bench.coverage --runs 2000`

Random runs (tests/bench/coverage_truth.py), filmed at 30 to 300 frames a second, marked, read, and each
number held against the truth behind it. `--runs N`: runs at each frame rate.
"""

from __future__ import annotations

import argparse
import math
import os
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import numpy as np

from analysis.reading import read
from analysis.values.estimate import NoValue, Result
from analysis.values.reading import Reading
from tests.bench.coverage_truth import ALL, USUAL, Simulated, Tagging, simulate
from tests.bench.natures import ASSUMED, NATURAL, Nature
from tests.bench.pages import write_sections

RATES = (30, 60, 120, 240, 300)
STEP_MEASURES = (
    "contact_s",
    "flight_s",
    "step_time_s",
    "step_length_m",
    "foot_to_foot_speed_m_s",
    "step_velocity_m_s",
    "shin_touchdown_deg",
    "shin_toe_off_deg",
    "trunk_touchdown_deg",
)
START_MEASURES = ("front_foot_push_s", "first_step_length_m")
MARKS = {"5": 0, "10": 1}
GOAL = (93.0, 97.0)
PARTS = ("coverage", "assumed", "tags")
"""The tables of the page; ``assumed`` is of what ``coverage`` finds too wide, so it comes with that only."""
WORDS = {
    "contact_s": "contact",
    "flight_s": "flight",
    "step_time_s": "step time",
    "step_length_m": "step length",
    "first_step_length_m": "first-step length",
    "foot_to_foot_speed_m_s": "foot-to-foot speed",
    "step_velocity_m_s": "step velocity",
    "front_foot_push_s": "front foot's push",
    "split_5_s": "split to 5 m, from the first movement",
    "split_10_s": "split to 10 m, from the first movement",
    "front_split_10_s": "split to 10 m, from front toe-off",
    "local_5_m_s": "speed at 5 m, nearby steps",
    "local_10_m_s": "speed at 10 m, nearby steps",
    "model_5_m_s": "speed at 5 m, whole run",
    "model_10_m_s": "speed at 10 m, whole run",
    "shin_touchdown_deg": "shin at touchdown",
    "shin_toe_off_deg": "shin at toe-off",
    "trunk_touchdown_deg": "trunk at touchdown",
}
WHOLE_FRAMES = Tagging(whole_frames=True)
DOUBTFUL = {
    "nothing said (5 ms)": WHOLE_FRAMES,
    'said: "may be wrong by 1 frame"': Tagging(judged_s=0.0, whole_frames=True, unsure_frames=1),
    "measured by a blind second tagging": Tagging(whole_frames=True, twice=ALL),
    "measured by a second tagging of three contacts": Tagging(whole_frames=True, twice=3),
    "judged 2.9 ms off alone, measured by a blind second tagging": Tagging(twice=ALL),
}


@dataclass
class Held:
    """Of one measure at one rate: by run, how many intervals there were and how many held the truth; and the
    errors with their stated standard uncertainties.
    """

    asked: list[int] = field(default_factory=list)
    held: list[int] = field(default_factory=list)
    errors: list[float] = field(default_factory=list)
    stated: list[float] = field(default_factory=list)
    missing: int = 0

    @property
    def share(self) -> float:
        """Share of intervals that hold the truth."""
        return sum(self.held) / max(1, sum(self.asked))

    @property
    def share_u(self) -> float:
        """Standard uncertainty of that share, runs taken as independent and the numbers of one run not."""
        asked, held = np.array(self.asked, float), np.array(self.held, float)
        if not len(asked):
            return math.nan
        return float(np.sqrt(np.sum((held - self.share * asked) ** 2)) / asked.sum())

    @property
    def ratio(self) -> float:
        """Root mean square error over root mean square stated uncertainty: 1 where they agree."""
        return float(np.sqrt(np.mean(np.square(self.errors)) / np.mean(np.square(self.stated))))

    @property
    def u(self) -> float:
        """Median stated standard uncertainty."""
        return float(np.median(self.stated))

    def add(self, pairs: Iterable[tuple[Result, float]]) -> None:
        """The numbers of one run beside their truths."""
        asked = held = 0
        for shown, truth in pairs:
            if isinstance(shown, NoValue):
                self.missing += 1
                continue
            asked += 1
            held += shown.low <= truth <= shown.high
            self.errors.append(shown.value - truth)
            self.stated.append(shown.u)
        if asked:
            self.asked.append(asked)
            self.held.append(held)

    def merge(self, other: Held) -> None:
        """Take in another's runs."""
        for name in ("asked", "held", "errors", "stated"):
            getattr(self, name).extend(getattr(other, name))
        self.missing += other.missing


def numbers(made: Simulated, reading: Reading) -> dict[str, list[tuple[Result, float]]]:
    """Every number of a reading beside its truth."""
    truth = made.truth
    found: dict[str, list[tuple[Result, float]]] = {}
    for name in STEP_MEASURES:
        shown = [getattr(step, name) for step in reading.steps]
        found[name] = list(zip(shown, truth[name], strict=False))
    for name in START_MEASURES:
        found[name] = [(getattr(reading.start, name), truth[name][0])]
    for name, place in MARKS.items():
        split, speed = reading.splits[place], reading.speeds[place]
        for key, number, of in (
            (f"split_{name}_s", split.time_s, f"split_{name}_s"),
            (f"front_split_{name}_s", split.from_front_toe_off_s, f"front_split_{name}_s"),
            (f"local_{name}_m_s", speed.local_m_s, f"speed_{name}_m_s"),
            (f"model_{name}_m_s", speed.model_m_s, f"speed_{name}_m_s"),
        ):
            found[key] = [(number, truth[of][0])]
    return found


def cover(
    rate: int, seeds: Iterable[int], tagging: Tagging = USUAL, nature: Nature = NATURAL
) -> dict[str, Held]:
    """What the readings of these runs hold."""
    found: dict[str, Held] = {}
    for seed in seeds:
        made = simulate(seed, rate, tagging, nature)
        for name, pairs in numbers(made, read(made.evidence)).items():
            found.setdefault(name, Held()).add(pairs)
    return found


def cover_all(
    rate: int, runs: int, tagging: Tagging = USUAL, workers: int = 1, nature: Nature = NATURAL
) -> dict[str, Held]:
    """The same for so many runs, shared out among processes."""
    if workers < 2:
        return cover(rate, range(runs), tagging, nature)
    parts = [range(first, min(first + 50, runs)) for first in range(0, runs, 50)]
    total: dict[str, Held] = {}
    with ProcessPoolExecutor(workers) as pool:
        for part in pool.map(partial(cover, rate, tagging=tagging, nature=nature), parts):
            for name, held in part.items():
                total.setdefault(name, Held()).merge(held)
    return total


def table(found: dict[int, dict[str, Held]], names: Iterable[str] = tuple(WORDS)) -> str:
    """Shares by measure and frame rate, as a table of the page."""
    lines = ["| | " + " | ".join(f"{rate}" for rate in RATES) + " |", "|---|" + "---|" * len(RATES)]
    for name in names:
        cells = [_cell(found[rate][name]) for rate in RATES]
        lines.append(f"| {WORDS[name]} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def too_wide(found: dict[int, dict[str, Held]]) -> list[str]:
    """The measures whose intervals hold more than the goal at some frame rate."""
    return [name for name in WORDS if any(100 * found[rate][name].share > GOAL[1] for rate in RATES)]


def _cell(of: Held) -> str:
    share = 100 * of.share
    mark = " **missed**" if share < GOAL[0] else " +" if share > GOAL[1] else ""
    return f"{share:.1f}{mark}"


def doubtful_tags(runs: int, workers: int) -> str:
    """Contact times when every tag is early, right or late by a whole frame, as a table of the page."""
    lines = ["| | " + " | ".join(f"{rate}" for rate in RATES) + " |", "|---|" + "---|" * len(RATES)]
    for words, tagging in DOUBTFUL.items():
        cells = [_cell(cover_all(rate, runs, tagging, workers)["contact_s"]) for rate in RATES]
        lines.append(f"| {words} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def main() -> None:
    """Simulate, read, print; with ``--write PAGE`` set the page's own sections anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--runs", type=int, default=2000)
    asked.add_argument("--write", type=Path)
    asked.add_argument("--workers", type=int, default=min(2, os.cpu_count() or 1))
    asked.add_argument("--part", choices=PARTS, action="append", help="only these of the tables")
    wishes = asked.parse_args()
    parts, workers = wishes.part or PARTS, wishes.workers
    bodies: dict[str, tuple[int, str]] = {}
    if "coverage" in parts:
        found = {rate: cover_all(rate, wishes.runs, workers=workers) for rate in RATES}
        bodies["coverage"] = wishes.runs, table(found)
        print(table(found), ratios(found), sep="\n\n", flush=True)
        if "assumed" in parts:
            assumed = {rate: cover_all(rate, wishes.runs, workers=workers, nature=ASSUMED) for rate in RATES}
            bodies["assumed"] = wishes.runs, table(assumed, too_wide(found))
    if "tags" in parts:
        few = max(100, wishes.runs // 5)
        bodies["tags"] = few, doubtful_tags(few, workers)
    print(*(body for name, (_, body) in bodies.items() if name != "coverage"), sep="\n\n")
    if wishes.write:
        write_sections(
            wishes.write,
            {name: f"{runs} runs at each frame rate.\n\n{body}\n" for name, (runs, body) in bodies.items()},
        )


def ratios(found: dict[int, dict[str, Held]]) -> str:
    """Root mean square errors over stated ones, by measure and frame rate."""
    return "\n".join(
        f"{name:24}"
        + "  ".join(f"{found[rate][name].ratio:.2f} (u {found[rate][name].u:.3g})" for rate in RATES)
        for name in WORDS
    )


if __name__ == "__main__":
    main()
