"""What the rail says in words: to a screen reader, in a tooltip, and where there is nothing to show."""

from __future__ import annotations

from analysis.report.rail_blocks import Block, Gap, RailContent
from analysis.report.words import MILLISECONDS, figure, spoken
from analysis.values.words import tr, tr_count
from app.rail.columns import Columns


def place(content: RailContent | None, frame: int) -> str:
    """Where the film is: frame, time, nearest event."""
    if content is None:
        return tr("No run. Open a film to see its steps.")
    words = tr("Frame {frame}, {time} s.").format(frame=frame, time=figure(content.cells.time(frame), 3))
    event = content.nearest_event(frame)
    if event is None:
        return f"{words} {tr('No event is marked yet.')}"
    if event.frame == frame:
        return f"{words} {tr('On it: {event}.').format(event=event.words)}"
    count = abs(event.frame - frame)
    later = tr_count("{count} frame on: {event}.", "{count} frames on: {event}.", count)
    earlier = tr_count("{count} frame back: {event}.", "{count} frames back: {event}.", count)
    where = later if event.frame > frame else earlier
    return f"{words} {where.format(count=count, event=event.words)}"


def item(content: RailContent, columns: Columns, x: float, time_s: float) -> str:
    """The contact or flight at a place of the rail, with its number; empty where there is none."""
    for block in content.blocks:
        ends = [end for end in (block.top_s, block.bottom_s) if end is not None]
        if ends and min(ends) <= time_s <= max(ends) and _beside(block, columns, x):
            return _with_shift(block)
    for gap in content.gaps:
        if gap.top_s <= time_s <= gap.bottom_s:
            return _with_shift(gap)
    return ""


def empty(content: RailContent | None) -> str:
    """What to do while there is no step."""
    if content is None:
        return tr("Open a film to see its steps.")
    return tr("Go to the frame in which a foot first touches the ground and mark the touchdown.")


def legend() -> str:
    """What the rail's shapes and signs mean."""
    return "\n".join(
        (
            tr("Solid block: contact, as tall as it lasted. Gap: flight."),
            tr("Outlined block: push of the start. Dashed block: draft, or an end that is not marked."),
            tr("▲ longer, ▼ shorter than the step before; with a bar: against the way of a clean start."),
            tr("≈ cannot be told apart from the step before."),
        )
    )


def _beside(block: Block, columns: Columns, x: float) -> bool:
    """On the block's track or on its number."""
    number, track = columns.number_x(block.track), columns.track_x(block.track)
    return number <= x <= number + columns.number or track <= x <= track + columns.track


def _with_shift(shown: Block | Gap) -> str:
    words = spoken(shown.name, shown.number, MILLISECONDS) if shown.number is not None else shown.name
    return f"{words}\n{shown.shift.sentence}" if shown.shift else words
