"""Footfalls and the start push: from an intent to a command."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from analysis.report.words import side_word
from analysis.steps.order import check_footfalls, check_start
from analysis.values.command import Change, Command, Kind, command
from analysis.values.errors import FootfallError
from analysis.values.film import FrameNumber
from analysis.values.project import bare
from analysis.values.run import FOOTFALL_EVENTS, START_EVENTS, Footfall, Run, Side, StartPush
from analysis.values.words import tr

_Owner = TypeVar("_Owner", StartPush, Footfall)


@dataclass(frozen=True)
class EventRef:
    """One tagged event: of the footfall ``footfall_id``, or of the start push where that is empty."""

    footfall_id: str
    which: str


def event_words(which: str) -> str:
    """The name of an event for people."""
    return {
        "first_movement": tr("First movement"),
        "rear_toe_off": tr("Rear foot toe-off"),
        "front_toe_off": tr("Front foot toe-off"),
        "touchdown": tr("Touchdown"),
        "toe_off": tr("Toe-off"),
    }[which]


def events(run: Run) -> tuple[tuple[FrameNumber, EventRef], ...]:
    """Every tagged event of the run with its frame, in order of time."""
    found: list[tuple[FrameNumber, EventRef]] = []
    for which in START_EVENTS:
        frame = getattr(run.start, which)
        if frame is not None:
            found.append((frame, EventRef("", which)))
    for footfall in run.footfalls:
        for which in FOOTFALL_EVENTS:
            frame = getattr(footfall, which)
            if frame is not None:
                found.append((frame, EventRef(footfall.id, which)))
    return tuple(sorted(found, key=lambda item: (item[0], item[1].which, item[1].footfall_id)))


def frame_of(run: Run, ref: EventRef) -> FrameNumber | None:
    """The frame on which the event is tagged, or None where it is gone."""
    return next((frame for frame, other in events(run) if other == ref), None)


def next_side(run: Run, frame: int) -> Side:
    """The side expected to land at a frame: the other foot than the last one before it.

    The first to land is the rear foot of the start; without a known front foot the left is proposed. Where a
    touchdown is tagged on this very frame it is that one's side: the same key twice must not change it.
    """
    here = next((f for f in run.footfalls if f.touchdown == frame), None)
    if here is not None:
        return here.side
    before = [f for f in run.footfalls if f.first_frame < frame]
    if before:
        return before[-1].side.other
    after = [f for f in run.footfalls if f.first_frame > frame]
    if after:
        # a contact of which only the end is tagged most likely begins here
        return after[0].side if after[0].touchdown is None else after[0].side.other
    if run.start.front_side is not None:
        return run.start.front_side.other
    return Side.LEFT


def tag_touchdown(run: Run, frame: int, side: Side) -> tuple[Command, EventRef]:
    """A touchdown of ``side`` on ``frame``. Raises FootfallError where it contradicts what is tagged."""
    _check_within(run, frame)
    here = next((f for f in run.footfalls if f.touchdown == frame), None)
    if here is not None:
        if here.side is side:
            raise FootfallError(
                tr("The {side} foot's touchdown is already on this frame.").format(side=side_word(side))
            )
        return _changed(run, here, replace(here, side=side), tr("Change side")), EventRef(
            here.id, "touchdown"
        )
    # a contact that so far has only its end takes this as its beginning
    late = next(
        (f for f in run.footfalls if f.touchdown is None and f.toe_off is not None and f.toe_off > frame),
        None,
    )
    if late is not None and late.side is side and not _another_between(run, frame, late):
        new = replace(late, touchdown=FrameNumber(frame))
        return _changed(run, late, new, tr("Touchdown")), EventRef(late.id, "touchdown")
    added = Footfall(uuid.uuid4().hex, side, FrameNumber(frame), None)
    return _changed(run, None, added, tr("Touchdown")), EventRef(added.id, "touchdown")


def tag_toe_off(run: Run, frame: int, side: Side) -> tuple[Command, EventRef]:
    """A toe-off on ``frame``: it ends the contact that is open, else moves the end of the last contact.

    ``side`` counts only where no contact began before the frame: the film began in one, whose end this is.
    Raises FootfallError where it contradicts what is tagged.
    """
    _check_within(run, frame)
    begun = [f for f in run.footfalls if f.touchdown is not None and f.touchdown < frame]
    still_open = [f for f in begun if f.toe_off is None]
    chosen = still_open[-1] if still_open else (begun[-1] if begun else _cut_off_by_the_film(run))
    if chosen is None:
        added = Footfall(uuid.uuid4().hex, side, None, FrameNumber(frame))
        return _changed(run, None, added, tr("Toe-off")), EventRef(added.id, "toe_off")
    if chosen.toe_off == frame:
        raise FootfallError(
            tr("The {side} foot's toe-off is already on this frame.").format(side=side_word(chosen.side))
        )
    text = tr("Toe-off") if chosen.toe_off is None else tr("Move toe-off")
    return _changed(run, chosen, replace(chosen, toe_off=FrameNumber(frame)), text), EventRef(
        chosen.id, "toe_off"
    )


def tag_start(run: Run, which: str, frame: int) -> tuple[Command, EventRef]:
    """An event of the start push on ``frame``. Raises FootfallError where the order can't be."""
    _check_within(run, frame)
    if getattr(run.start, which) == frame:
        raise FootfallError(tr("{event} is already on this frame.").format(event=event_words(which)))
    start = _with(run.start, which, FrameNumber(frame))
    check_start(start, run.footfalls)
    return _start_changed(run, start, event_words(which)), EventRef("", which)


def set_front_side(run: Run, side: Side | None) -> Command:
    """Which foot stood in front at the start; None where nobody says."""
    return _start_changed(run, replace(run.start, front_side=side), tr("Front foot"))


def change_side(run: Run, footfall_id: str) -> Command:
    """The footfall becomes the other foot's. Raises FootfallError where the feet would overlap."""
    old = _footfall(run, footfall_id)
    return _changed(run, old, replace(old, side=old.side.other), tr("Change side"))


def change_doubt(run: Run, footfall_id: str, unsure_frames: int | None) -> Command:
    """How sure the coach is of a footfall's frames: None the default, 0 sure, n frames either way."""
    old = _footfall(run, footfall_id)
    return _changed(run, old, replace(old, unsure_frames=unsure_frames), tr("How sure"))


def move_event(run: Run, ref: EventRef, frame: int) -> Command:
    """The event tagged on another frame. Raises FootfallError where that contradicts another event."""
    _check_within(run, frame)
    text = tr("Move {event}").format(event=event_words(ref.which).lower())
    if not ref.footfall_id:
        start = _with(run.start, ref.which, FrameNumber(frame))
        check_start(start, run.footfalls)
        return _start_changed(run, start, text)
    old = _footfall(run, ref.footfall_id)
    return _changed(run, old, _with(old, ref.which, FrameNumber(frame)), text)


def delete_event(run: Run, ref: EventRef) -> Command:
    """The event is taken off; with its touchdown a footfall goes whole."""
    text = tr("Delete {event}").format(event=event_words(ref.which).lower())
    if not ref.footfall_id:
        return _start_changed(run, _with(run.start, ref.which, None), text)
    old = _footfall(run, ref.footfall_id)
    if ref.which == "touchdown" or old.touchdown is None:
        return _changed(run, old, None, tr("Delete footfall"))
    return _changed(run, old, replace(old, toe_off=None), text)


def _with(owner: _Owner, which: str, frame: FrameNumber | None) -> _Owner:
    changed: dict[str, Any] = {which: frame}
    return replace(owner, **changed)


def _check_within(run: Run, frame: int) -> None:
    if not run.first_frame <= frame <= run.last_frame:
        raise FootfallError(
            tr("This frame lies outside the run, which goes from frame {first} to frame {last}.").format(
                first=run.first_frame, last=run.last_frame
            )
        )


def _cut_off_by_the_film(run: Run) -> Footfall | None:
    """The contact in which the film began, of which only the end is tagged."""
    first = run.footfalls[0] if run.footfalls else None
    return first if first is not None and first.touchdown is None else None


def _footfall(run: Run, footfall_id: str) -> Footfall:
    found = next((f for f in run.footfalls if f.id == footfall_id), None)
    if found is None:
        raise FootfallError(tr("This footfall is not there any more."))
    return found


def _changed(run: Run, old: Footfall | None, new: Footfall | None, text: str) -> Command:
    kept = tuple(f for f in run.footfalls if old is None or f.id != old.id)
    if new is not None:
        check_footfalls((*kept, new))
        check_start(run.start, (*kept, new))
    owner = new if new is not None else old
    if owner is None:
        return command(text, ())
    return command(text, (Change(Kind.FOOTFALL, owner.id, old, new, run.id),))


def _start_changed(run: Run, start: StartPush, text: str) -> Command:
    return command(text, (Change(Kind.RUN, run.id, bare(run), bare(replace(run, start=start))),))


def _another_between(run: Run, frame: int, late: Footfall) -> bool:
    return any(frame < f.first_frame < late.first_frame for f in run.footfalls if f.id != late.id)
