"""First cause and breaks against what was put in: `python3 -m tests.bench.bench_first_cause FOLDER --write
docs/validation.md`.

Runs of the sample renderer's figure with known faults (tests/bench/judged_truth.py), tagged and clicked with
errors, read, and held against their faults. `--nothing N`: runs without any; `--each N`: runs of each fault;
a quarter of both at 30 frames a second. A second table holds films that the renderer draws, each run at 240
and at 30 frames a second, their points followed through the pictures (tests/bench/rendered_faults.py); films
and tracks are kept in FOLDER. A third one says which of the faults could be told at all: those that a marking
without any error tells, by the same intervals. `--only TABLE` makes one of the three: named, filmed or told.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import cv2

from analysis.reading import read
from analysis.values.evidence import Evidence
from tests.bench.judged_truth import FAULTS, LONG_STEP, NOTHING, NOTHING_BY_PATTERN, Fault, simulate
from tests.bench.pages import write_sections
from tests.bench.rendered_faults import FAST, SHOTS, SLOW, Shot, evidence_for

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


def outcome(seed: int, fault: Fault, rate: int, errors: float = 1.0) -> Outcome:
    """One run, read."""
    return outcome_of(simulate(seed, fault, rate, errors), fault)


def filmed(shot: Shot, fault: Fault, rate: int, folder: Path) -> Outcome:
    """One run as it was filmed, read."""
    return outcome_of(evidence_for(shot, fault, rate, folder), fault)


def outcome_of(evidence: Evidence, fault: Fault) -> Outcome:
    """What the reading of one run makes of it."""
    reading = read(evidence)
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


def outcomes(fault: Fault, rate: int, runs: int, workers: int, errors: float = 1.0) -> list[Outcome]:
    """So many runs of one fault."""
    seeds = range(FIRST_SEED, FIRST_SEED + runs)
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(partial(outcome, fault=fault, rate=rate, errors=errors), seeds, chunksize=5))


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


def could_row(fault: Fault, rate: int, found: list[Outcome], exact: list[Outcome]) -> str:
    """A line of the table of what could be told: ``exact`` are the same runs marked without errors."""
    assert fault.first is not None
    named, could = ([one.named == fault.first.value for one in several] for several in (found, exact))
    both = sum(a and b for a, b in zip(named, could, strict=True))
    cells = (fault.name, rate, len(found), sum(could), both, len(found) - sum(could), sum(named) - both)
    return "| " + " | ".join(map(str, cells)) + " |"


COULD_HEAD = (
    "| what was put in | frames a second | runs | told without errors | of these named with them "
    "| not told without errors | of these named with them |\n|---|---|---|---|---|---|---|"
)


HEAD = (
    "| what was put in | frames a second | runs | first cause | named so | another one | none told "
    "| break at its step | breaks that were not put in |\n|---|---|---|---|---|---|---|---|---|"
)


RENDERED_HEAD = (
    "| what was put in | runs | first cause | 240: named so | another one | none told | break at its step "
    "| 30: named so | another one | none told | break at its step | named at 30, not at 240 |\n"
    "|---|---|---|---|---|---|---|---|---|---|---|---|"
)


def rendered_row(fault: Fault, folder: Path) -> str:
    """A line of the table of rendered runs: each filmed twice."""
    both = [[filmed(shot, fault, rate, folder) for shot in SHOTS] for rate in (FAST, SLOW)]
    wanted = "" if fault.first is None else fault.first.value
    cells: list[object] = [fault.name, len(SHOTS), wanted or "none"]
    for found in both:
        names = Counter(o.named for o in found)
        right = names.pop(wanted, 0)
        nothing = names.pop("", 0) if wanted else "-"
        wrong = ", ".join(f"{name} {count}" for name, count in sorted(names.items())) or "0"
        cells += [right, wrong, nothing]
        cells.append(sum(o.broken == fault.breaks for o in found) if fault.breaks else "-")
    cells.append(sum(slow.named not in ("", fast.named) for fast, slow in zip(*both, strict=True)))
    return "| " + " | ".join(map(str, cells)) + " |"


def main() -> None:
    """Simulate, draw, follow, read, print; with ``--write PAGE`` set the page's sections anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--nothing", type=int, default=400)
    asked.add_argument("--each", type=int, default=57)
    asked.add_argument("--workers", type=int, default=2)
    asked.add_argument("--only", choices=("named", "filmed", "told"))
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    makers: dict[str, tuple[str, Callable[[], list[str]]]] = {
        "named": ("first cause", lambda: named_table(wishes.nothing, wishes.each, wishes.workers)),
        "filmed": ("first cause rendered", lambda: rendered_table(wishes.folder)),
        "told": ("first cause told", lambda: could_table(wishes.each, wishes.workers)),
    }
    for one, (section, make) in makers.items():
        if wishes.only in (None, one):
            made = "\n".join(make()) + "\n"
            if wishes.write:
                write_sections(wishes.write, {section: made})


def could_table(each: int, workers: int) -> list[str]:
    """Which of the faults could be told."""
    lines = [COULD_HEAD]
    for rate, runs in ((240, each), (30, each // 4)):
        for fault in FAULTS:
            both = [outcomes(fault, rate, runs, workers, errors) for errors in (1.0, 0.0)]
            lines.append(could_row(fault, rate, *both))
            print(lines[-1], flush=True)
    return lines


def named_table(nothing: int, each: int, workers: int) -> list[str]:
    """What the reading named, of simulated runs."""
    lines = [HEAD]
    cases = [(NOTHING, 240, nothing), (NOTHING_BY_PATTERN, 240, nothing // 4)]
    cases += [(fault, 240, each) for fault in FAULTS]
    cases += [(NOTHING, 30, nothing // 4)]
    cases += [(fault, 30, each // 4) for fault in FAULTS]
    for fault, rate, runs in cases:
        lines.append(row(fault, rate, outcomes(fault, rate, runs, workers)))
        print(lines[-1], flush=True)
    return lines


def rendered_table(folder: Path) -> list[str]:
    """What the reading named, of films."""
    cv2.setNumThreads(1)
    lines = [RENDERED_HEAD]
    for fault in (NOTHING, *(fault for fault in FAULTS if not fault.pattern)):
        lines.append(rendered_row(fault, folder))
        print(lines[-1], flush=True)
    return lines


if __name__ == "__main__":
    main()
