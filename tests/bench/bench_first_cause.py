"""First cause and breaks against what was put in: `python3 -m tests.bench.bench_first_cause --write
docs/validation.md`.

Runs of the sample renderer's figure with known faults (tests/bench/judged_truth.py), tagged and clicked with
errors, read, and held against their faults. `--nothing N`: runs without any; `--each N`: runs of each fault;
a quarter of both at 30 frames a second.
"""

from __future__ import annotations

import argparse
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from analysis.reading import read
from tests.bench.judged_truth import FAULTS, LONG_STEP, NOTHING, Fault, simulate
from tests.bench.pages import write_sections

FIRST_SEED = 500


@dataclass(frozen=True)
class Outcome:
    """What a reading made of one run. ``named``: the question of its first cause, or an empty text.

    ``broken``: steps to which contact time breaks; ``other``: how many other breaks and side differences it
    names. A step on the ground for longer is longer itself, and the one after it shorter: that break was put
    in as well.
    """

    named: str
    broken: frozenset[int]
    other: int


def outcome(seed: int, fault: Fault, rate: int) -> Outcome:
    """One run, read."""
    reading = read(simulate(seed, fault, rate))
    assert reading.first_cause is not None
    contacts = frozenset(b.second_step for b in reading.rhythm.breaks if b.measure == "contact_s")
    follows = {("step_length_m", LONG_STEP + 1)} if fault.long else set()
    others = [
        b
        for b in reading.rhythm.breaks
        if b.measure != "contact_s" and (b.measure, b.second_step) not in follows
    ]
    sides = [s for s in reading.rhythm.sides if s.told]
    question = reading.first_cause.question
    return Outcome("" if question is None else question.value, contacts, len(others) + len(sides))


def outcomes(fault: Fault, rate: int, runs: int, workers: int) -> list[Outcome]:
    """So many runs of one fault."""
    seeds = range(FIRST_SEED, FIRST_SEED + runs)
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(partial(outcome, fault=fault, rate=rate), seeds, chunksize=5))


def row(fault: Fault, rate: int, found: list[Outcome]) -> str:
    """A line of the table."""
    runs = len(found)
    names = Counter(o.named for o in found)
    wanted = "" if fault.first is None else fault.first.value
    right = names.pop(wanted, 0)
    nothing = names.pop("", 0)
    wrong = ", ".join(f"{name} {count}" for name, count in sorted(names.items())) or "0"
    breaks = sum(o.broken == fault.breaks for o in found) if fault.breaks else "-"
    more = sum(bool(o.broken - fault.breaks) or o.other > 0 for o in found)
    cells = (fault.name, rate, runs, wanted or "none", right, wrong, nothing if wanted else "-", breaks, more)
    return "| " + " | ".join(map(str, cells)) + " |"


HEAD = (
    "| what was put in | frames a second | runs | first cause | named so | another one | none told "
    "| break at its step | breaks that were not put in |\n|---|---|---|---|---|---|---|---|---|"
)


def main() -> None:
    """Simulate, read, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--nothing", type=int, default=400)
    asked.add_argument("--each", type=int, default=57)
    asked.add_argument("--workers", type=int, default=2)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    lines = [HEAD]
    cases = [(NOTHING, 240, wishes.nothing)]
    cases += [(fault, 240, wishes.each) for fault in FAULTS]
    cases += [(NOTHING, 30, wishes.nothing // 4)]
    cases += [(fault, 30, wishes.each // 4) for fault in FAULTS]
    for fault, rate, runs in cases:
        lines.append(row(fault, rate, outcomes(fault, rate, runs, wishes.workers)))
        print(lines[-1], flush=True)
    if wishes.write:
        write_sections(wishes.write, {"first cause": "\n".join(lines) + "\n"})


if __name__ == "__main__":
    main()
