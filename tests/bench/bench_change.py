"""How often the athlete is said to have changed who did not: `python3 -m tests.bench.bench_change --write
docs/validation.md`.

Drawn runs with one measure whose true value is the same on all days. Runs scatter by a spread drawn anew for
each athlete, days by another where it is told, and every value carries its own error of measuring. Both days
that are compared have the runs that the row names; the athlete's other days have two or three each, or six.
"""

from __future__ import annotations

import argparse
import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.reading.compare import compare
from analysis.values.comparison import Claim
from analysis.values.reading import Reading
from tests.analysis.reading.compared_runs import KEY, day
from tests.bench.pages import write_sections

MEASURED_U = 0.01
TRUE = 0.60
FIRST_SEED = 4100
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
    lines = [f"{each} drawn athletes a row.", "", f"| {' | '.join(columns)} |", "|---" * len(columns) + "|"]
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


def missed(share: float, each: int) -> str:
    """What is set behind a share that chance alone does not bring beyond what is allowed."""
    chance = 2 * math.sqrt(ALLOWED * (1 - ALLOWED) / each)
    return " **missed**" if share > ALLOWED + chance else ""


def main() -> None:
    """Draw, compare, print, and write the section where asked to."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--each", type=int, default=20_000)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    made = table(wishes.each)
    if wishes.write:
        write_sections(wishes.write, {"change": made})


if __name__ == "__main__":
    main()
