"""Edges of blocks: which one lies under the pointer, and how far it may be moved."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from analysis.report.rail_blocks import Block, RailContent
from analysis.report.rail_scale import TimeScale
from analysis.values.film import FrameNumber
from analysis.values.run import FOOTFALL_EVENTS, START_EVENTS, Footfall, Run
from app.rail.columns import Columns
from app.theme.tokens import TARGET_PX


@dataclass(frozen=True)
class Edge:
    """An edge of a block: a footfall's touchdown or toe-off, or without a footfall an event of the start."""

    footfall_id: str
    which: str

    def frame(self, run: Run) -> int | None:
        """The frame on which it is marked."""
        owner = _footfall(run, self.footfall_id) if self.footfall_id else run.start
        frame = getattr(owner, self.which) if owner else None
        return None if frame is None else int(frame)


def edge_at(content: RailContent, scale: TimeScale, columns: Columns, x: float, y: float) -> Edge | None:
    """The edge that the pointer holds: 24 px round it, of which a short block's half is the inner part.

    Where the start push ends close to a contact, the contact's edge is the one that is held.
    """
    for block in sorted(content.blocks, key=_is_push):
        left = columns.track_x(block.track)
        if not left <= x <= left + columns.track:
            continue
        for which in block.events:
            zone = _zone(block, which, scale)
            if zone is not None and zone[0] <= y <= zone[1]:
                return Edge(block.footfall_id, which)
    return None


def nearest_edge(content: RailContent, scale: TimeScale, columns: Columns, x: float, y: float) -> Edge | None:
    """The nearer edge of the block under the pointer."""
    for block in content.blocks:
        left = columns.track_x(block.track)
        outside = not left <= x <= left + columns.track
        if outside or block.top_s is None or block.bottom_s is None:
            continue
        top, bottom = scale.y(block.top_s), scale.y(block.bottom_s)
        if top <= y <= bottom:
            return Edge(block.footfall_id, block.events[y > (top + bottom) / 2])
    return None


def reach(run: Run, edge: Edge) -> tuple[int, int]:
    """First and last frame to which an edge may be moved without meeting another event of its foot."""
    if not edge.footfall_id:
        return _reach_of_start(run, edge.which)
    footfall = _footfall(run, edge.footfall_id)
    low, high = int(run.first_frame), int(run.last_frame)
    if footfall is None:
        return low, high
    own = edge.frame(run)
    for other in run.footfalls:
        for which in FOOTFALL_EVENTS:
            frame = getattr(other, which)
            if (
                other.side is not footfall.side
                or frame is None
                or own is None
                or (other, which) == (footfall, edge.which)
            ):
                continue
            if frame < own:
                low = max(low, frame + 1)
            elif frame > own:
                high = min(high, frame - 1)
    return low, high


def moved(run: Run, edge: Edge, frame: int) -> Run:
    """The run with one edge on another frame, for a preview."""
    if not edge.footfall_id:
        start: dict[str, Any] = {edge.which: FrameNumber(frame)}
        return replace(run, start=replace(run.start, **start))
    footfalls = [
        _with(f, edge.which, FrameNumber(frame)) if f.id == edge.footfall_id else f for f in run.footfalls
    ]
    return replace(run, footfalls=tuple(footfalls))


def _is_push(block: Block) -> bool:
    return block.push


def _reach_of_start(run: Run, which: str) -> tuple[int, int]:
    """Between the events of the start beside it and the first touchdown."""
    low, high = int(run.first_frame), int(run.last_frame)
    touchdowns = [f.touchdown for f in run.footfalls if f.touchdown is not None]
    if touchdowns:
        high = touchdowns[0] - 1
    place = START_EVENTS.index(which)
    for other_place, name in enumerate(START_EVENTS):
        frame = getattr(run.start, name)
        if frame is None or name == which:
            continue
        if other_place < place:
            low = max(low, frame + 1)
        else:
            high = min(high, frame - 1)
    return low, high


def _with(footfall: Footfall, which: str, frame: FrameNumber) -> Footfall:
    if which == "touchdown":
        return replace(footfall, touchdown=frame)
    return replace(footfall, toe_off=frame)


def _footfall(run: Run, footfall_id: str) -> Footfall | None:
    return next((f for f in run.footfalls if f.id == footfall_id), None)


def _zone(block: Block, which: str, scale: TimeScale) -> tuple[float, float] | None:
    is_top = which == block.events[0]
    here, there = (block.top_s, block.bottom_s) if is_top else (block.bottom_s, block.top_s)
    if here is None:
        return None
    y = scale.y(here)
    inner = TARGET_PX / 2 if there is None else min(TARGET_PX / 2, abs(scale.y(there) - y) / 2)
    outer = TARGET_PX - inner
    return (y - outer, y + inner) if is_top else (y - inner, y + outer)
