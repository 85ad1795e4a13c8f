"""Tagging a run a second time without seeing the first tags: from what the coach wants to a command."""

from __future__ import annotations

from uuid import uuid4

from analysis.steps.retagging import FEWEST_PAIRS, tagging_error
from analysis.values.command import Change, Command, Kind, command
from analysis.values.errors import FootfallError
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.project import Project, run_changes
from analysis.values.run import Run, StartPush
from analysis.values.tagging import TaggingError, TaggingSample
from analysis.values.words import tr
from app.marking.events import events

THE_COACH = ""
"""The code of whoever works on a project: it belongs to one coach."""


def second_of(project: Project, run: Run) -> Run | None:
    """The second tagging of a run that was begun already."""
    return next((other for other in project.runs.values() if other.retags == run.id), None)


def first_of(project: Project, second: Run) -> Run | None:
    """The run that a second tagging is of; None for a run of its own, or where the first is gone."""
    return project.runs.get(second.retags or "")


def tagged(run: Run) -> int:
    """How many events of a run are tagged; those that are only proposed don't count."""
    proposed = set(run.start.drafts)
    drafts = {footfall.id for footfall in run.footfalls if footfall.draft}
    return sum(
        ref.footfall_id not in drafts if ref.footfall_id else ref.which not in proposed
        for _, ref in events(run)
    )


def begin(run: Run) -> tuple[Command, str]:
    """A second tagging of a run: the same stretch with nothing but its marks of place; and its id.

    Raises FootfallError where the run is one itself, or has too little to be held against.
    """
    if run.retags is not None:
        raise FootfallError(tr("This is the second tagging already. Finish it first."))
    if tagged(run) < FEWEST_PAIRS:
        raise FootfallError(
            tr(
                "Tag at least {count} events of the run first: the second tagging is held against them."
            ).format(count=FEWEST_PAIRS)
        )
    second = Run(
        uuid4().hex,
        run.film_id,
        tr("{run}, second tagging").format(run=run.name),
        run.first_frame,
        run.last_frame,
        direction=run.direction,
        athlete_id=run.athlete_id,
        camera_distance_m=run.camera_distance_m,
        camera_place_id=run.camera_place_id,
        marks=run.marks,
        start=StartPush(front_side=run.start.front_side),
        retags=run.id,
    )
    return command(tr("Tag again, unseen"), run_changes(second)), second.id


def finish(project: Project, second: Run, times: FrameTimes) -> tuple[Command, TaggingError]:
    """What both taggings show of the coach, kept; the second run goes.

    Raises FootfallError where the first run is gone, or too few events were tagged both times.
    """
    first = first_of(project, second)
    if first is None:
        raise FootfallError(tr("The run that this one tags again is gone. Give the second tagging up."))
    found = tagging_error(first, second, times)
    if isinstance(found, NoValue):
        raise FootfallError(found.reason)
    sample = TaggingSample(uuid4().hex, THE_COACH, found)
    kept = Change(Kind.TAGGING, sample.id, None, sample)
    return command(tr("Second tagging"), (kept, *_gone(second))), found


def give_up(second: Run) -> Command:
    """The second tagging goes; nothing is learnt of it."""
    return command(tr("Give the second tagging up"), _gone(second))


def forget(project: Project) -> Command:
    """What was learnt of the coach goes: the usual doubt counts again."""
    changes = [Change(Kind.TAGGING, one.id, one, None) for one in project.tagging.values()]
    return command(tr("Take the usual doubt"), changes)


def _gone(run: Run) -> tuple[Change, ...]:
    return Command("", run_changes(run)).reversed.changes
