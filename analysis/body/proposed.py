"""A body proposed on a frame: points that were followed there from marked frames, as far as they are sure."""

from __future__ import annotations

import math

from analysis.body.slips import height_px
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from analysis.values.tracks import Tracks

SURE = 0.01
"""A point is proposed where the pictures tell it within this share of the body's height, standard
uncertainty; a looser one is asked for (own; tests/bench/bench_ahead.py says what comes of it)."""
TAKEN = 0.02
"""Standard uncertainty along each axis of a proposed point that is taken, as a share of the body's height,
and at the least a click's usual error (own; the same bench)."""
LEAST_PX = 1.5


def proposed_points(tracks: Tracks, frame: int) -> tuple[BodyPoint, ...]:
    """The points of tracks that were followed ahead to a frame on which they are not placed, and are sure
    there, each with the error that it is to be stored with.
    """
    row = frame - int(tracks.first)
    if not 0 <= row < len(tracks):
        return ()
    height = height_px(tracks)
    placed = {p.name for p in tracks.placed if p.frame == frame}
    error_px = max(LEAST_PX, TAKEN * height)
    found = []
    for column, name in enumerate(tracks.names):
        u, v = map(float, tracks.places[row, column])
        sure = math.isfinite(u + v) and float(tracks.u_px[row, column]) <= SURE * height
        if sure and name not in placed:
            found.append(BodyPoint(FrameNumber(frame), name, u, v, error_px))
    return tuple(found)
