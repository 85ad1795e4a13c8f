"""`python3 -m analysis.plan.drills_page`: writes the page of drills anew from the library."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from analysis.plan.library import common_drills
from analysis.plan.wording import BLOCK_WORDS, PART_WORDS, QUESTION_WORDS, dose_words
from analysis.values.drill import Drill

PAGE = Path(__file__).resolve().parents[2] / "docs" / "drills.md"

_HEAD = """# Drills

Written by `python3 -m analysis.plan.drills_page` from `analysis/plan/drills.toml`.

The drills that come with the program. Purposes, doses and faults are common practice without a published
source; whoever coaches the athlete changes them. Before everything that is run flat out: a warm-up, a clear
lane and run-out, a fit athlete. Pain, injury and return to play go to a licensed practitioner; local rules
and safeguarding come first.
"""


def drills_page() -> str:
    """The page as it belongs into the docs."""
    return "\n".join([_HEAD, *map(_section, common_drills().values())])


def _section(drill: Drill) -> str:
    facts = (
        ("Stands in", _listed(BLOCK_WORDS[block] for block in drill.blocks)),
        ("Serves", _listed(QUESTION_WORDS[question] for question in drill.questions)),
        ("Holds", _listed(PART_WORDS[part] for part in drill.parts)),
        ("Purpose", drill.purpose),
        ("Set-up", drill.set_up),
        ("Dose", f"{dose_words(drill.dose)} ({drill.dose.source})"),
        ("Look for", "; ".join(drill.look_for)),
        ("Common faults", "; ".join(drill.faults)),
        ("Easier", drill.easier),
        ("Harder", drill.harder),
        ("Mind", "; ".join(drill.cautions)),
        ("Leave it out", drill.defer),
    )
    lines = "\n".join(f"- {name}: {words}" for name, words in facts if words)
    return f"## {drill.name}\n\n{lines}\n"


def _listed(words: Iterable[str]) -> str:
    return ", ".join(words).lower()


if __name__ == "__main__":
    PAGE.write_text(drills_page(), encoding="utf-8")
