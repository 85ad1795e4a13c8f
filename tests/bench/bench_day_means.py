"""How often its interval holds the mean of a day's three runs, all read by marks that were clicked once:
`python3 -m tests.bench.bench_day_means --write docs/validation.md`.

Runs of ``coverage_truth.simulate_day``; what is asked is the mean of the true values of the three. Beside it
the same mean with every run's errors taken as its own, as if marks had been clicked for each.
"""

from __future__ import annotations

import argparse
from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from analysis.reading import read
from analysis.reading.compare import mean_of
from analysis.reading.numbers import numbers_of
from analysis.reading.set_ups import set_ups_of
from analysis.values.comparison import MeasureKey
from analysis.values.estimate import Estimate
from tests.bench.coverage_truth import REPORT_M, Simulated, simulate_day
from tests.bench.pages import tell

RATE, RUNS, STEPS, DAYS = 240, 3, 6, 300
HEAD = "| | intervals | held | wider than of runs on their own | those would hold |\n|---|---|---|---|---|"

Asked = tuple[str, MeasureKey, str, int]
"""What it is called, its key, and where its true value stands."""


def asked() -> Iterator[Asked]:
    """The measures that rest on places, step by step, and one that does not."""
    yield "first-step length", MeasureKey("first_step_length_m", step=0), "first_step_length_m", 0
    for words, name in (
        ("step length", "step_length_m"),
        ("step velocity", "step_velocity_m_s"),
        ("foot-to-foot speed", "foot_to_foot_speed_m_s"),
        ("contact", "contact_s"),
    ):
        for k in range(STEPS):
            yield words, MeasureKey(name, step=k + 1), name, k
    for x in (5.0, REPORT_M):
        for words, name, truth in (
            ("split from front toe-off", "split_from_front_toe_off_s", f"front_split_{x:g}_s"),
            ("speed, nearby steps", "local_m_s", f"speed_{x:g}_m_s"),
        ):
            yield f"{words}, {x:g} m", MeasureKey(name, x_m=x), truth, 0


def means_of(day: Sequence[Simulated]) -> Iterator[tuple[str, float, Estimate, Estimate]]:
    """What it is called, the true mean, the mean as it is read and as if the runs shared nothing."""
    readings = [read(one.evidence) for one in day]
    numbers, set_ups = [numbers_of(one) for one in readings], set_ups_of(readings)
    for words, key, name, place in asked():
        truths = [one.truth[name][place] for one in day if place < len(one.truth[name])]
        if len(truths) == len(day) and all(isinstance(one.get(key), Estimate) for one in numbers):
            means = [mean_of(key, numbers, of) for of in (set_ups, tuple(range(len(day))))]
            shared, apart = (one for one in means if isinstance(one, Estimate))
            yield words, float(np.mean(truths)), shared, apart


def table(days: int) -> str:
    """The table as Markdown."""
    found: dict[str, list[tuple[bool, bool, float]]] = defaultdict(list)
    for seed in range(days):
        for words, true, shared, apart in means_of(simulate_day(seed, RATE, RUNS)):
            held = (one.low <= true <= one.high for one in (shared, apart))
            found[words].append((*held, shared.u / apart.u))
    lines = [f"{days} days of {RUNS} runs, {RATE} frames a second.", "", HEAD]
    for words, rows in found.items():
        held, alone, wider = np.mean(np.array(rows, dtype=np.float64), axis=0)
        cells = (len(rows), f"{held:.1%}", f"{wider - 1:.0%}", f"{alone:.1%}")
        lines.append(f"| {words} | " + " | ".join(map(str, cells)) + " |")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Simulate, read, print, and write the section where asked to."""
    wishes = argparse.ArgumentParser(description=__doc__)
    wishes.add_argument("--days", type=int, default=DAYS)
    wishes.add_argument("--write", type=Path)
    said = wishes.parse_args()
    tell(table(said.days), said.write, "day means")


if __name__ == "__main__":
    main()
