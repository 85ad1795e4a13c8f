"""Rows of narrations and of what was spoken over them, and back, exactly."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from analysis.store.cells import Row, finite, finite_or_none
from analysis.values.film import FrameNumber
from analysis.values.narration import Narration, Overlay, Stop, Zoom
from analysis.values.recording import PenPoint, PenStroke, Recording, Shown


def narration_row(narration: Narration) -> Row:
    """The row of a narration with its stops."""
    content = {
        "name": narration.name,
        "run_ids": narration.run_ids,
        "recording_id": narration.recording_id,
        "stops": [vars(stop) for stop in narration.stops],
    }
    return {"id": narration.id, "content": _text(content)}


def narration_of(row: Mapping[str, Any]) -> Narration:
    """The narration that a row holds. Raises ValueError, TypeError or KeyError where it holds none."""
    held = json.loads(row["content"])
    spoken = None if held["recording_id"] is None else str(held["recording_id"])
    run_ids, stops = tuple(map(str, held["run_ids"])), tuple(map(_stop_of, held["stops"]))
    return Narration(row["id"], str(held["name"]), run_ids, stops, spoken)


def recording_row(recording: Recording) -> Row:
    """The row of a recording: its sound, and what the film showed meanwhile."""
    content = {
        "lasts_s": recording.lasts_s,
        "playhead": [[one.t_s, one.frame, one.beside, one.stop_id] for one in recording.playhead],
        "strokes": [
            [one.until_s, one.beside, [[p.t_s, p.u, p.v] for p in one.points]] for one in recording.strokes
        ],
    }
    return {"id": recording.id, "sound": recording.sound, "content": _text(content)}


def recording_of(row: Mapping[str, Any]) -> Recording:
    """The recording that a row holds. Raises ValueError, TypeError or KeyError where it holds none."""
    held = json.loads(row["content"])
    playhead = tuple(
        Shown(finite(t), FrameNumber(int(frame)), _frame_or_none(beside), str(stop_id))
        for t, frame, beside, stop_id in held["playhead"]
    )
    strokes = tuple(
        PenStroke(tuple(PenPoint(*map(finite, point)) for point in points), finite_or_none(until), bool(side))
        for until, side, points in held["strokes"]
    )
    return Recording(row["id"], bytes(row["sound"]), finite(held["lasts_s"]), playhead, strokes)


def _stop_of(held: Mapping[str, Any]) -> Stop:
    return Stop(
        id=str(held["id"]),
        frame=FrameNumber(int(held["frame"])),
        words=str(held["words"]),
        drawn=tuple(map(Overlay, held["drawn"])),
        zoom=_zoom(held["zoom"]),
        hold_s=finite(held["hold_s"]),
        speed_after=finite(held["speed_after"]),
        beside=_frame_or_none(held["beside"]),
        beside_zoom=_zoom(held["beside_zoom"]),
    )


def _zoom(held: Any) -> Zoom | None:
    if held is None:
        return None
    left, top, width, height = map(finite, held)
    return left, top, width, height


def _frame_or_none(held: Any) -> FrameNumber | None:
    return None if held is None else FrameNumber(int(held))


def _text(content: Mapping[str, Any]) -> str:
    return json.dumps(content, ensure_ascii=False, sort_keys=True, allow_nan=False)
