"""A run as a film shows it that is shorter than the one on which it was tagged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from analysis.values.film import FrameNumber
from analysis.values.run import FOOTFALL_EVENTS, START_EVENTS, Footfall, Run, StartPush

_Owner = TypeVar("_Owner", StartPush, Footfall)


def within_film(run: Run, frames: int) -> Run:
    """The run without events that a film of so many frames does not show, its stretch no longer than that.

    A run that was tagged on a longer film keeps them; views show what there is.
    """
    last = frames - 1
    if run.last_frame <= last and all(frame <= last for frame in _events(run)):
        return run
    footfalls = (_clipped(f, last) for f in run.footfalls)
    start = _without(run.start, last, START_EVENTS)
    return replace(
        run,
        first_frame=FrameNumber(min(run.first_frame, last)),
        last_frame=FrameNumber(min(run.last_frame, last)),
        start=start,
        footfalls=tuple(f for f in footfalls if f is not None),
    )


def _clipped(footfall: Footfall, last: int) -> Footfall | None:
    kept = _without(footfall, last, FOOTFALL_EVENTS)
    return None if kept.touchdown is None and kept.toe_off is None else kept


def _without(owner: _Owner, last: int, names: Sequence[str]) -> _Owner:
    """Without its events after a frame."""
    beyond: dict[str, Any] = {name: None for name in names if (getattr(owner, name) or 0) > last}
    return replace(owner, **beyond)


def _events(run: Run) -> Iterator[int]:
    """The frames of all tagged events."""
    owners = ((run.start, START_EVENTS), *((footfall, FOOTFALL_EVENTS) for footfall in run.footfalls))
    for owner, names in owners:
        yield from (frame for name in names if (frame := getattr(owner, name)) is not None)
