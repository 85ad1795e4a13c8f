"""The frame on which an edit shows best."""

from __future__ import annotations

from analysis.values.command import Change, Command
from analysis.values.run import FOOTFALL_EVENTS, START_EVENTS, BodyPoint, Footfall, Line, Run


def frame_of_edit(command: Command) -> int | None:
    """The frame of the event, point or line that an edit touched; None where it shows on every frame."""
    return next((frame for change in command.changes if (frame := _frame(change)) is not None), None)


def _frame(change: Change) -> int | None:
    thing = change.new if change.new is not None else change.old
    if isinstance(thing, BodyPoint | Line):
        return thing.frame
    if isinstance(thing, Footfall):
        moved = _moved(FOOTFALL_EVENTS, change.old, change.new)
        return thing.first_frame if moved is None else moved
    if isinstance(change.old, Run) and isinstance(change.new, Run):
        return _moved(START_EVENTS, change.old.start, change.new.start)
    return None


def _moved(names: tuple[str, ...], old: object, new: object) -> int | None:
    """Where the first event stands that is not what it was; where it stood if it is gone."""
    for name in names:
        before, now = getattr(old, name, None), getattr(new, name, None)
        if now != before:
            frame: int | None = before if now is None else now
            return frame
    return None
