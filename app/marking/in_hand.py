"""Which draft the keys answer: the one that is held, also where the film went on a little to look at it."""

from __future__ import annotations

import math

from analysis.values.film import FrameTimes
from analysis.values.run import START_EVENTS, Run
from app.marking.events import EventRef, frame_of

_REACH_S, _REACH_FRAMES = 0.25, 10
"""A draft so near the playhead, in whichever is longer, is still being looked at."""
_FEW_FRAMES = 3
"""So few frames from it that also goes where another contact has begun: few a second show hardly a flight."""


def is_draft(run: Run, ref: EventRef) -> bool:
    """Whether an event is only proposed."""
    if not ref.footfall_id:
        return ref.which in run.start.drafts
    return any(f.id == ref.footfall_id and f.draft for f in run.footfalls)


def draft_in_hand(run: Run, held: object, frame: int, times: FrameTimes) -> EventRef | None:
    """The draft that an answer is meant for: the held one while the playhead is near it and within no
    other's contact, with nothing held the nearest one that is near. None where there is none, or where
    something else is held.
    """
    mine = isinstance(held, EventRef) and is_draft(run, held)
    if held is not None and not mine:
        return None
    refs = [EventRef("", name) for name in START_EVENTS if name in run.start.drafts]
    refs += [event_nearest(run, f.id, frame) for f in run.footfalls if f.draft]
    nearest = min(refs, key=lambda ref: _away(run, ref, frame), default=None)
    if isinstance(held, EventRef):
        away = _away(run, held, frame)
        within_another = nearest is not None and _away(run, nearest, frame) == 0
        if away <= _FEW_FRAMES or (away <= _reach(times) and not within_another):
            return held
    return nearest if nearest is not None and _away(run, nearest, frame) <= _reach(times) else None


def event_nearest(run: Run, footfall_id: str, frame: int) -> EventRef:
    """Of a footfall's events the one nearer to a frame, of two as near the touchdown."""
    refs = [EventRef(footfall_id, "touchdown"), EventRef(footfall_id, "toe_off")]
    known = {ref: tagged for ref in refs if (tagged := frame_of(run, ref)) is not None}
    return min(known, key=lambda ref: abs(known[ref] - frame), default=refs[0])


def _away(run: Run, ref: EventRef, frame: int) -> float:
    """Frames from a playhead to a draft, 0 within its contact, infinite where it is gone."""
    footfall = next((f for f in run.footfalls if f.id == ref.footfall_id), None)
    tagged = (frame_of(run, ref),) if footfall is None else (footfall.touchdown, footfall.toe_off)
    known = [int(one) for one in tagged if one is not None]
    return max(min(known) - frame, frame - max(known), 0) if known else math.inf


def _reach(times: FrameTimes) -> int:
    return max(_REACH_FRAMES, round(_REACH_S * (times.median_rate_hz or 0.0)))
