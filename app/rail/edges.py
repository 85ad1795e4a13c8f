"""Edges of blocks: which one lies under the pointer, and how far it may be moved."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from analysis.values.film import FrameNumber
from analysis.values.run import Footfall, Run
from app.rail.blocks import Block, RailContent
from app.rail.columns import Columns
from app.rail.geometry import TimeScale
from app.theme.tokens import TARGET_PX

Which = Literal["touchdown", "toe_off"]
WHICH: tuple[Which, Which] = ("touchdown", "toe_off")


@dataclass(frozen=True)
class Edge:
    """The touchdown or toe-off edge of a footfall's block."""

    footfall_id: str
    which: Which

    def frame(self, run: Run) -> int | None:
        """The frame on which it is marked."""
        footfall = _footfall(run, self.footfall_id)
        frame = getattr(footfall, self.which) if footfall else None
        return None if frame is None else int(frame)


def edge_at(content: RailContent, scale: TimeScale, columns: Columns, x: float, y: float) -> Edge | None:
    """The edge that the pointer holds: 24 px round it, of which a short block's half is the inner part."""
    for block in content.blocks:
        left = columns.track_x(block.track)
        if block.push or not left <= x <= left + columns.track:
            continue
        for which in WHICH:
            zone = _zone(block, which, scale)
            if zone is not None and zone[0] <= y <= zone[1]:
                return Edge(block.footfall_id, which)
    return None


def nearest_edge(content: RailContent, scale: TimeScale, columns: Columns, x: float, y: float) -> Edge | None:
    """The nearer edge of the footfall's block under the pointer."""
    for block in content.blocks:
        left = columns.track_x(block.track)
        if (
            block.push
            or block.top_s is None
            or block.bottom_s is None
            or not left <= x <= left + columns.track
        ):
            continue
        top, bottom = scale.y(block.top_s), scale.y(block.bottom_s)
        if top <= y <= bottom:
            return Edge(block.footfall_id, WHICH[y > (top + bottom) / 2])
    return None


def reach(run: Run, edge: Edge) -> tuple[int, int]:
    """First and last frame to which an edge may be moved without meeting another event of its foot."""
    footfall = _footfall(run, edge.footfall_id)
    low, high = int(run.first_frame), int(run.last_frame)
    if footfall is None:
        return low, high
    own = edge.frame(run)
    for other in run.footfalls:
        for which in WHICH:
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
    footfalls = [
        _with(f, edge.which, FrameNumber(frame)) if f.id == edge.footfall_id else f for f in run.footfalls
    ]
    return replace(run, footfalls=tuple(footfalls))


def _with(footfall: Footfall, which: Which, frame: FrameNumber) -> Footfall:
    if which == "touchdown":
        return replace(footfall, touchdown=frame)
    return replace(footfall, toe_off=frame)


def _footfall(run: Run, footfall_id: str) -> Footfall | None:
    return next((f for f in run.footfalls if f.id == footfall_id), None)


def _zone(block: Block, which: Which, scale: TimeScale) -> tuple[float, float] | None:
    here, there = block.edge_s(which), block.edge_s("toe_off" if which == "touchdown" else "touchdown")
    if here is None:
        return None
    y = scale.y(here)
    inner = TARGET_PX / 2 if there is None else min(TARGET_PX / 2, abs(scale.y(there) - y) / 2)
    outer = TARGET_PX - inner
    return (y - outer, y + inner) if which == "touchdown" else (y - inner, y + outer)
