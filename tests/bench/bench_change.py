"""How often the athlete is said to have changed who did not: `python3 -m tests.bench.bench_change --write
docs/validation.md`.

Drawn runs with one measure whose true value is the same on all days. Runs scatter by a spread drawn anew for
each athlete, days by another where it is told, and every value carries its own error of measuring. Both days
that are compared have the runs that the row names; the athlete's other days have two or three each, or six.

A second table asks how often the sentence at the end of a comparison says so. It names only what was asked
first: split and speed, and what departed in the last run before. That was chosen because it lay far out, so
the next day it lies nearer by itself: ten measures whose true values lie about an end of their bands. A third
one asks how often a change that was made is found beside the days of a baseline.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from analysis.reading.compare import compare
from analysis.values.answers import Answer, Judged
from analysis.values.comparison import Claim
from analysis.values.estimate import Estimate, NoValue
from analysis.values.posture import PostureReading
from analysis.values.questions import Question, Verdict
from analysis.values.reading import Reading, SpeedReading, SplitReading
from tests.analysis.reading.compared_runs import KEY, day, reading
from tests.bench.pages import write_sections

MEASURED_U = 0.01
TRUE = 0.60
FIRST_SEED = 4100
FAR_OUT = 3.0
"""A value beyond its band by more than so many of its errors counts as a departure: as Holm asks of many."""
ALLOWED = 0.05
"""So many may be said to have changed; a share that is more by over two of its standard errors is a miss."""


@dataclass(frozen=True)
class Case:
    """``runs`` on either day compared; ``others``: days beside; ``days_differ``: by as much as runs do;
    ``many``: the other days have six runs each.
    """

    runs: int
    others: int
    days_differ: bool = False
    many: bool = False

    @property
    def words(self) -> str:
        """The case as the table names it."""
        days = "days differ as runs do" if self.days_differ else "runs alone differ"
        others = f"{self.others}, of six runs" if self.many else self.others
        return f"{self.runs} | {others} | {days}"


CASES = tuple(
    Case(runs, others, differ, many)
    for runs in (1, 2, 3)
    for others, many in ((0, False), (2, False), (4, False), (4, True))
    for differ in (False, True)
    if runs > 1 or not many
)


@dataclass(frozen=True)
class Outcome:
    """``changed``: the athlete is said to have; ``differs``: the runs are; ``judged``: there is a verdict."""

    changed: bool
    differs: bool
    judged: bool


def outcome(case: Case, seed: int) -> Outcome:
    """One athlete who did not change."""
    chance = np.random.default_rng([FIRST_SEED, seed, CASES.index(case)])
    spread = chance.uniform(0.5, 4.0) * MEASURED_U

    def on(date: str, runs: int) -> list[Reading]:
        middle = TRUE + (chance.normal(0, spread) if case.days_differ else 0.0)
        error = math.hypot(spread, MEASURED_U)
        return day([float(v) for v in chance.normal(middle, error, runs)], date, u=MEASURED_U)

    before, after = on("2031-05-01", case.runs), on("2031-06-01", case.runs)
    history = [
        one
        for n in range(case.others)
        for one in on(f"2031-04-{n + 1:02}", 6 if case.many else int(chance.integers(2, 4)))
    ]
    row = compare(before, after, history).row(KEY)
    return Outcome(row.change is not None, row.claim is Claim.DIFFERS, row.least is not None)


def _head(each: int, what: str, columns: Sequence[str]) -> list[str]:
    return [
        f"{each} drawn athletes a {what}.",
        "",
        f"| {' | '.join(columns)} |",
        "|---" * len(columns) + "|",
    ]


def table(each: int) -> str:
    """The table as Markdown."""
    columns = (
        "runs on either day",
        "other days",
        "what differs",
        "a verdict was possible",
        "said to have changed",
        "the runs said to differ",
    )
    lines = _head(each, "row", columns)
    for case in CASES:
        found = [outcome(case, seed) for seed in range(each)]
        judged, changed, differs = (
            float(np.mean([getattr(one, name) for one in found])) for name in ("judged", "changed", "differs")
        )
        lines.append(
            f"| {case.words} | {judged:.1%} | {changed:.1%}{missed(changed, each)} | {differs:.1%} |"
        )
        print(lines[-1], flush=True)
    return "\n".join(lines) + "\n"


MADE = tuple(Case(3, others, days_differ=True) for others in (1, 2, 3, 4, 6))
SIZES = (3.0, 6.0, 12.0)
"""True changes, times what days and runs scatter by."""


def found(case: Case, seed: int, size: float) -> bool:
    """Whether an athlete who changed by so much after the days of a baseline is said to have."""
    chance = np.random.default_rng([FIRST_SEED, seed, 2000 + MADE.index(case)])
    spread = chance.uniform(0.5, 4.0) * MEASURED_U

    def on(date: str, change: float = 0.0) -> list[Reading]:
        middle = TRUE + change + chance.normal(0, spread)
        values = chance.normal(middle, math.hypot(spread, MEASURED_U), case.runs)
        return day([float(v) for v in values], date, u=MEASURED_U)

    history = [one for n in range(case.others) for one in on(f"2031-04-{n + 1:02}")]
    row = compare(on("2031-05-01"), on("2031-06-01", size * spread), history).row(KEY)
    return row.change is not None


def found_table(each: int) -> str:
    """The third table as Markdown: changes that were made."""
    columns = ("runs on either day", "other days, before the change", *(f"{size:g} times" for size in SIZES))
    lines = _head(each, "cell", columns)
    for case in MADE:
        shares = [np.mean([found(case, seed, size) for seed in range(each)]) for size in SIZES]
        cells = (case.runs, case.others, *(f"{share:.0%}" for share in shares))
        lines.append("| " + " | ".join(map(str, cells)) + " |")
        print(lines[-1], flush=True)
    return "\n".join(lines) + "\n"


NAMES = tuple(f"invented{n}_m" for n in range(10))
NONE = NoValue("not marked")
SENTENCES = tuple(
    Case(runs, others, differ) for runs, others in ((3, 0), (2, 4), (3, 4)) for differ in (False, True)
)


def sentence(case: Case, seed: int) -> tuple[bool, int]:
    """Whether the sentence at the end says that an athlete changed who did not, and of how many measures it
    was asked because they departed.
    """
    chance = np.random.default_rng([FIRST_SEED, seed, 1000 + SENTENCES.index(case)])
    spread = chance.uniform(0.5, 4.0) * MEASURED_U
    ends = TRUE + chance.uniform(-1.5, 1.5, len(NAMES)) * spread

    def on(date: str, runs: int) -> list[Reading]:
        middle = TRUE + (chance.normal(0, spread, len(NAMES) + 2) if case.days_differ else 0.0)
        error = math.hypot(spread, MEASURED_U)
        return [_run_of(chance.normal(middle, error, len(NAMES) + 2), date, n) for n in range(runs)]

    before, after = on("2031-05-01", case.runs), on("2031-06-01", case.runs)
    history = [
        one for n in range(case.others) for one in on(f"2031-04-{n + 1:02}", int(chance.integers(2, 4)))
    ]
    last = before[-1]
    departed = [
        _departed(row)
        for row, end in zip(last.posture, ends, strict=True)
        if isinstance(row.result, Estimate) and row.result.value - end > FAR_OUT * MEASURED_U
    ]
    answer = Answer(Question.LAUNCH, Verdict.OUTSIDE, "", tuple(departed), (), ())
    before[-1] = replace(last, questions=(answer,))
    found = compare(before, after, history)
    return any(row.sure for row in found.rows), len(departed)


def _run_of(values: Sequence[float], date: str, number: int) -> Reading:
    """Ten measures, then a split and a speed at 10 m."""
    *own, split, speed = (float(value) for value in values)
    run = reading(own, MEASURED_U, day=date, run=f"{date} {number}", measures=NAMES)
    half = 1.96 * MEASURED_U
    one, two = (Estimate(value, MEASURED_U, value - half, value + half) for value in (split, speed))
    return replace(
        run,
        splits=(SplitReading(10.0, one, NONE, True),),
        speeds=(SpeedReading(10.0, two, NONE, NONE, None, None, NONE, False),),
    )


def _departed(row: PostureReading) -> Judged:
    return Judged(
        row.measure, row.moment, row.step, None, row.measure, row.result, (), None, "", Verdict.OUTSIDE
    )


def sentence_table(each: int) -> str:
    """The second table as Markdown."""
    columns = (
        "runs on either day",
        "other days",
        "what differs",
        "departed before, of ten",
        "the sentence says so",
    )
    lines = _head(each, "row", columns)
    for case in SENTENCES:
        said, departed = np.mean([sentence(case, seed) for seed in range(each)], axis=0)
        lines.append(f"| {case.words} | {departed:.1f} | {said:.1%}{missed(float(said), each)} |")
        print(lines[-1], flush=True)
    return "\n".join(lines) + "\n"


def missed(share: float, each: int) -> str:
    """What is set behind a share that chance alone does not bring beyond what is allowed."""
    chance = 2 * math.sqrt(ALLOWED * (1 - ALLOWED) / each)
    return " **missed**" if share > ALLOWED + chance else ""


def main() -> None:
    """Draw, compare, print, and write the section where asked to."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--each", type=int, default=20_000)
    asked.add_argument("--only", choices=("change", "change in a sentence", "change that was made"))
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    makers = {
        "change": table,
        "change in a sentence": lambda each: sentence_table(each // 4),
        "change that was made": lambda each: found_table(each // 10),
    }
    for name, make in makers.items():
        if wishes.only in (None, name):
            made = make(wishes.each)
            if wishes.write:
                write_sections(wishes.write, {name: made})


if __name__ == "__main__":
    main()
