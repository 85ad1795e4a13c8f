"""The frames of the posture strip one by one, so that a page can break them into rows."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping

from analysis.report.ink import Ink
from analysis.report.posture_strip import PostureStrip, angle_words, moment_words
from analysis.report.strip_drawing import frame_picture
from analysis.report.told import Tile

TILE_PX = 400
"""Height of a frame on a page: sharp on a phone and in print (own)."""
_QUALITY = 82


def strip_tiles(strip: PostureStrip, jpegs: Mapping[int, bytes]) -> tuple[Tile, ...]:
    """The strip's frames with their lines. ``jpegs``: the film's pictures by frame; a frame without one is
    left out.
    """
    return tuple(_tiles(strip, jpegs))


def _tiles(strip: PostureStrip, jpegs: Mapping[int, bytes]) -> Iterator[Tile]:
    for shown in strip.frames:
        jpeg = jpegs.get(shown.frame)
        if jpeg:
            out = io.BytesIO()
            frame_picture(jpeg, shown, TILE_PX, Ink()).save(out, "JPEG", quality=_QUALITY)
            words = tuple(map(angle_words, shown.angles))
            yield Tile(out.getvalue(), moment_words(shown.moment, shown.side), words)
