"""Names of files that tell people what is in them, whatever a run or an athlete is called."""

from __future__ import annotations

from collections.abc import Iterable

from analysis.values.audience import Audience
from analysis.values.project import Project
from analysis.values.run import Run
from analysis.values.words import tr

_LONGEST = 60


def file_names(called: Iterable[tuple[str, tuple[str, ...]]]) -> dict[str, str]:
    """A name for each id, of the words beside it: letters and digits of any script, the rest as ``_``.

    No two are the same, not for a system either that takes capitals for small letters: where words do not
    tell two apart, the id's first signs follow, and a number where that does not help.
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for one, parts in called:
        bare = "-".join(filter(None, map(_plain, parts)))[:_LONGEST].strip("-_") or _plain(one) or "run"
        tries = [bare, f"{bare}-{_plain(one)[:8]}", *(f"{bare}-{n}" for n in range(2, len(taken) + 3))]
        name = next(each for each in tries if each.casefold() not in taken)
        taken.add(name.casefold())
        found[one] = name
    return found


def names_of_runs(project: Project, runs: Iterable[Run], audience: Audience) -> dict[str, str]:
    """A name for a file about each run, by its id: day, athlete and run; for the public only a number."""
    called = []
    for number, run in enumerate(runs, start=1):
        athlete = project.athlete_of(run)
        parts = (run.conditions.day, athlete.code if athlete else "", run.name)
        called.append((run.id, (tr("run {number}").format(number=number),) if audience.public else parts))
    return file_names(called)


def _plain(text: str) -> str:
    """With one ``_`` for every row of other signs."""
    spaced = "".join(letter if letter.isalnum() or letter in "-_" else " " for letter in text)
    return "_".join(spaced.split())
