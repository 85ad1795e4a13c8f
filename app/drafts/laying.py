"""A draft laid on a run: one command, and what of it was left out."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, replace

from analysis.jobs.drafted import Drafted, Proposal
from analysis.steps.order import conflicts, start_conflict
from analysis.values.command import Change, Command, Kind, command
from analysis.values.project import bare
from analysis.values.run import START_EVENTS, Footfall, Run, StartPush
from analysis.values.words import tr, tr_count


@dataclass(frozen=True)
class Laid:
    """``count``: of drafts; ``notes``: what was left out."""

    command: Command
    count: int
    notes: tuple[str, ...]


def lay(run: Run, drafted: Drafted) -> Laid:
    """The run with these drafts in the place of those before; what the coach tagged stays as it is."""
    kept = tuple(f for f in run.footfalls if not f.draft)
    within = [one for one in drafted.footfalls if _within(run, one)]
    added: list[Footfall] = []
    for one in within:
        proposed = Footfall(
            uuid.uuid4().hex, one.side, one.touchdown, one.toe_off, draft=True, confidence=one.confidence
        )
        if not _collides(proposed, kept):
            added.append(proposed)
    changes = [Change(Kind.FOOTFALL, f.id, f, None, run.id) for f in run.footfalls if f.draft]
    changes += [Change(Kind.FOOTFALL, f.id, None, f, run.id) for f in added]
    after = replace(run, start=_start(run, drafted.start, kept))
    if not kept and run.start.confirmed == StartPush() and drafted.direction is not None:
        after = replace(after, direction=drafted.direction)
    changes.append(Change(Kind.RUN, run.id, bare(run), bare(after)))
    outside, met = len(drafted.footfalls) - len(within), len(within) - len(added)
    notes = []
    if met:
        notes.append(
            tr_count(
                "{count} proposal was left out: a tagged footfall stands there.",
                "{count} proposals were left out: tagged footfalls stand there.",
                met,
            ).format(count=met)
        )
    if outside:
        notes.append(
            tr_count(
                "{count} proposal lies outside the run's stretch of the film.",
                "{count} proposals lie outside the run's stretch of the film.",
                outside,
            ).format(count=outside)
        )
    return Laid(command(tr("Draft every footfall"), changes), len(added), tuple(notes))


def _within(run: Run, one: Proposal) -> bool:
    frames = [frame for frame in (one.touchdown, one.toe_off) if frame is not None]
    return bool(frames) and all(run.first_frame <= frame <= run.last_frame for frame in frames)


def _collides(proposed: Footfall, tagged: Sequence[Footfall]) -> bool:
    """Whether a proposal lies over what the coach tagged, or contradicts it."""
    begin, end = _ends(proposed)
    if any(begin <= high and low <= end for low, high in map(_ends, tagged)):
        return True
    known = {conflict.sentence for conflict in conflicts(tagged)}
    with_it = conflicts((*tagged, replace(proposed, draft=False)))
    return any(conflict.sentence not in known for conflict in with_it)


def _ends(footfall: Footfall) -> tuple[int, int]:
    frames = [int(frame) for frame in (footfall.touchdown, footfall.toe_off) if frame is not None]
    return min(frames), max(frames)


def _start(run: Run, proposed: StartPush, tagged: Sequence[Footfall]) -> StartPush:
    """The start with proposals for the events that the coach has not tagged, as far as they go with them."""
    start = run.start.confirmed
    for name in START_EVENTS:
        frame = getattr(proposed, name)
        if (
            frame is None
            or getattr(start, name) is not None
            or not run.first_frame <= frame <= run.last_frame
        ):
            continue
        tried = replace(start, **{name: frame}, drafts=(*start.drafts, name))
        if start_conflict(replace(tried, drafts=()), tagged) is None:
            start = tried
    return start
