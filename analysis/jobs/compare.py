"""Runs of a project side by side, compared as the window compares them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from analysis.jobs.evidence import known_run
from analysis.jobs.runs import by_day, find_run, runs_of_athlete
from analysis.reading import read
from analysis.reading.compare import compare
from analysis.reading.days import several_athletes
from analysis.store import ProjectFile
from analysis.values.comparison import Comparison
from analysis.values.errors import CinderlaneError, ProjectError
from analysis.values.project import Project
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.words import one_line, tr


@dataclass(frozen=True)
class ComparedRuns:
    """A comparison, the runs of its second side, and sentences for the coach."""

    comparison: Comparison
    after: tuple[Reading, ...]
    notes: tuple[str, ...]


def compare_runs(
    project: Path, before: Sequence[str], after: Sequence[str], *, allow_other_conditions: bool = False
) -> ComparedRuns:
    """Runs against others, each named as for ``find_run``. The athlete's other runs say how much runs differ
    by themselves, as far as they can be read; the bands of the last run after say which way is better.

    A run that is named twice on a side counts once. Raises ProjectError where one stands on both sides or
    a side holds runs of several athletes, and CinderlaneError where one can't be found or read.
    """
    with ProjectFile.open(project) as file:
        whole = file.project
        sides = [[find_run(whole, name) for name in names] for names in (before, after)]
        notes = tuple(note for side in sides for note in _named_again(side))
        one, two = (_each_once(side) for side in sides)
        _check_apart(one, two)
        readings = [read(known_run(file, run).evidence) for run in one]
        evidences = [known_run(file, run).evidence for run in two]
        others = tuple(_others(file, whole, one, two))
    later = tuple(map(read, evidences))
    _check_one_athlete(readings, later)
    found = compare(
        readings,
        later,
        others,
        bands=evidences[-1].bands or (),
        allow_other_conditions=allow_other_conditions,
        published=whole.published_errors,
    )
    return ComparedRuns(found, later, notes)


def _first_tagging(run: Run) -> str:
    """The id of what was run: a second tagging is of the same run."""
    return run.retags or run.id


def _each_once(side: Sequence[Run]) -> list[Run]:
    """The runs of a side in the order in which they were made, however they were named."""
    found: dict[str, Run] = {}
    for run in side:
        found.setdefault(_first_tagging(run), run)
    return sorted(found.values(), key=by_day)


def _named_again(side: Sequence[Run]) -> Iterator[str]:
    """A sentence for each run that a side names more than once."""
    ids = [_first_tagging(run) for run in side]
    for run in _each_once(side):
        if ids.count(_first_tagging(run)) > 1:
            words = tr("{run} is named more than once and counts as one run.")
            yield words.format(run=one_line(run.name) or run.id)


def _check_apart(one: Sequence[Run], two: Sequence[Run]) -> None:
    there = {_first_tagging(run) for run in one}
    both = [one_line(run.name) or run.id for run in two if _first_tagging(run) in there]
    if both:
        words = tr("{runs} can't be compared with itself: name each run on one side only.")
        raise ProjectError(words.format(runs=", ".join(both)))


def _check_one_athlete(*sides: Sequence[Reading]) -> None:
    if any(map(several_athletes, sides)):
        raise ProjectError(
            tr("Runs of several athletes have no mean: name those of one athlete on each side.")
        )


def _others(file: ProjectFile, project: Project, one: Sequence[Run], two: Sequence[Run]) -> Iterator[Reading]:
    """The other runs of the athlete of the first run."""
    named = {_first_tagging(run) for run in (*one, *two)}
    for run in runs_of_athlete(project, one[0]):
        if run.id not in named:
            with suppress(CinderlaneError):
                yield read(known_run(file, run).evidence)
