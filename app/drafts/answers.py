"""What the coach says to drafts: yes, no, all that are sure, the other foot. From an intent to a command."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from analysis.steps.order import check_footfalls, check_start
from analysis.values.command import Change, Command, Kind, command
from analysis.values.errors import FootfallError
from analysis.values.project import bare
from analysis.values.run import START_EVENTS, BodyPoint, Footfall, Run
from analysis.values.words import tr
from app.marking.events import EventRef

Places = Mapping[str, BodyPoint]
"""The proposed tip of the shoe by footfall, on the frame of its touchdown."""


def drafts(run: Run) -> tuple[Footfall, ...]:
    """The footfalls that wait for a word, in order of time."""
    return tuple(f for f in run.footfalls if f.draft)


def first_stop(run: Run, after_frame: int = -1) -> EventRef | None:
    """The draft to look at next: the first one after a frame, else the first of all; the start comes last."""
    waiting = drafts(run)
    found = next((f for f in waiting if f.first_frame > after_frame), waiting[0] if waiting else None)
    if found is not None:
        return EventRef(found.id, "toe_off" if found.touchdown is None else "touchdown")
    return next((EventRef("", name) for name in START_EVENTS if name in run.start.drafts), None)


def confirm(run: Run, ref: EventRef, places: Places) -> Command:
    """A draft becomes a tag; the proposed tip of the shoe becomes a point, where none is placed there.

    Raises FootfallError where it contradicts what is tagged.
    """
    if not ref.footfall_id:
        return _confirm_start(run, (ref.which,), tr("Confirm the draft"))
    chosen = tuple(f for f in drafts(run) if f.id == ref.footfall_id)
    if not chosen:
        raise FootfallError(tr("This draft is not there any more."))
    changes = _confirmed(run, chosen, places)
    return command(tr("Confirm the draft"), changes)


def confirm_sure(run: Run, level: float, places: Places, doubt_frames: int) -> Command:
    """Every draft of a footfall at least so sure, 0 to 1, becomes a tag that nobody looked at: one that may
    be wrong by so many frames. Raises FootfallError.
    """
    chosen = tuple(f for f in drafts(run) if f.confidence is not None and f.confidence >= level)
    if not chosen:
        raise FootfallError(tr("No draft is so sure. Look at each: Return confirms it."))
    changes = _confirmed(run, chosen, places, doubt_frames)
    return command(tr("Confirm {count} drafts").format(count=len(chosen)), changes)


def refuse(run: Run, ref: EventRef) -> Command:
    """The draft goes, whole; of the start the one event."""
    text = tr("Refuse the draft")
    if not ref.footfall_id:
        gone: dict[str, Any] = {ref.which: None}
        start = replace(run.start, **gone)
        return command(text, (Change(Kind.RUN, run.id, bare(run), bare(replace(run, start=start))),))
    chosen = (f for f in drafts(run) if f.id == ref.footfall_id)
    return command(text, (Change(Kind.FOOTFALL, f.id, f, None, run.id) for f in chosen))


def swap_sides(run: Run) -> Command:
    """Every draft becomes the other foot's."""
    return command(
        tr("Drafts: the other foot first"),
        (Change(Kind.FOOTFALL, f.id, f, replace(f, side=f.side.other), run.id) for f in drafts(run)),
    )


def _confirmed(
    run: Run, chosen: tuple[Footfall, ...], places: Places, doubt_frames: int | None = None
) -> list[Change]:
    ids = {f.id for f in chosen}
    new = [replace(f, draft=False, confidence=None, unsure_frames=doubt_frames) for f in chosen]
    after = (*(f for f in run.footfalls if f.id not in ids), *new)
    check_footfalls(after)
    check_start(run.start, after)
    changes = [Change(Kind.FOOTFALL, f.id, old, f, run.id) for old, f in zip(chosen, new, strict=True)]
    for f in new:
        place = places.get(f.id)
        if place is not None and run.point(place.frame, place.name) is None:
            changes.append(Change(Kind.POINT, place.id, None, place, run.id))
    return changes


def _confirm_start(run: Run, names: tuple[str, ...], text: str) -> Command:
    start = replace(run.start, drafts=tuple(name for name in run.start.drafts if name not in names))
    if start.front_side is None and run.footfalls and run.footfalls[0].touchdown is not None:
        start = replace(start, front_side=run.footfalls[0].side.other)  # the rear foot lands first
    check_start(start, run.footfalls)
    return command(text, (Change(Kind.RUN, run.id, bare(run), bare(replace(run, start=start))),))
