"""A foot close up, as large and as bright in every film, from frame to frame around an event."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.standing import Levels
from analysis.derive.footfalls.strip import GroundStrip

Floats = npt.NDArray[np.float64]

Kind = Literal["touchdown", "toe-off"]
CELL = 0.01
"""Body heights that a cell is wide and high."""
BEHIND, AHEAD, OVER, UNDER = 20, 16, 17, 5
"""Cells around the place a foot stands on."""
UNIT_S = 1 / 240
"""Pictures lie so far apart."""
REACH = 31
"""So many pictures are looked at before and after the frame that the strip tells."""
_EARLY, _LATE = (0.15, 0.5), (0.5, 0.85)
"""The parts of a stand in which a foot that has landed, or is to leave, is taken to look as it does."""
_MOST = 2.0
_LEAST_CONTRAST = 8.0


@dataclass(frozen=True, eq=False)
class CloseUp:
    """``pictures``: (2 REACH + 1, rows, columns), how far each cell is off bare ground, 1 for as much as the
    foot; the run goes to the right. ``stands``: (rows, columns), as the foot stands.
    """

    pictures: Levels
    stands: Levels


def close_up_of(kind: Kind, strip: GroundStrip, one: Streak, scale: tuple[float, float, float]) -> CloseUp:
    """Around the touchdown or the toe-off that the strip tells of a streak; ``scale``: height of the body in
    px, frames a second, 1 for a run to the right and -1 to the left.
    """
    height_px, rate_hz, forwards = scale
    event, column, part = (
        (one.begin, one.column, _EARLY) if kind == "touchdown" else (one.end, one.tip, _LATE)
    )
    last = len(strip.picture) - 1
    wanted = np.clip(event + np.arange(-REACH, REACH + 1) * UNIT_S * rate_hz, 0, last)
    stood = one.end - one.begin
    begin = min(one.begin + int(part[0] * stood), last - 1)
    end = min(max(begin + 2, one.begin + int(np.ceil(part[1] * stood))), last + 1)
    first = min(int(wanted[0]), begin)
    frames = slice(first, max(int(np.ceil(wanted[-1])) + 1, end))
    cells = _cells(strip, column, height_px, forwards, frames)
    stands = np.median(cells[begin - first : end - first], axis=0)
    contrast = max(_LEAST_CONTRAST, float(np.quantile(np.abs(stands), 0.93)))
    sign = 1.0 if float(np.sum(stands * (np.abs(stands) > 0.5 * contrast))) > 0 else -1.0
    low = wanted.astype(int) - first
    high = np.minimum(low + 1, len(cells) - 1)
    share = (wanted % 1).astype(np.float32)[:, None, None]
    pictures = cells[low] * (np.float32(1) - share) + cells[high] * share
    factor = np.float32(sign / contrast)
    return CloseUp(np.clip(pictures * factor, -_MOST, _MOST), np.clip(stands * factor, -_MOST, _MOST))


def _cells(strip: GroundStrip, column: float, height_px: float, forwards: float, frames: slice) -> Levels:
    """How far each cell is off bare ground in frames, grey levels."""
    cell = CELL * height_px
    ground = strip.ground_row(column)
    rows, width = strip.bare.shape
    ends = sorted((column - forwards * (BEHIND + 2) * cell, column + forwards * (AHEAD + 2) * cell))
    left, right = int(np.clip(ends[0], 0, width - 4)), int(np.clip(ends[1] + 1, 4, width))
    top = int(np.clip(ground - (OVER + 2) * cell, 0, rows - 4))
    cut = (slice(top, int(np.clip(ground + (UNDER + 2) * cell + 1, top + 4, rows))), slice(left, right))
    looks = strip.band.look(frames, *cut) / strip.gains[frames, None, None].astype(np.float32)
    bare = strip.bare[cut].astype(np.float32)
    known, soft = bare > 0, cell / 2.5  # a cell that holds several pixels is about their mean
    onto = np.array(
        [
            [forwards * cell, 0.0, column - left - forwards * (BEHIND - 0.5) * cell],
            [0.0, cell, ground - top - (OVER - 0.5) * cell],
        ]
    )
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    out = np.empty((len(looks), OVER + UNDER, BEHIND + AHEAD), np.float32)
    offs: Levels = np.where(known & (looks > 0), looks - bare, np.float32(0))
    for number, off in enumerate(offs):
        even = cv2.GaussianBlur(off, (0, 0), soft) if soft > 0.5 else off
        cv2.warpAffine(even, onto, (BEHIND + AHEAD, OVER + UNDER), dst=out[number], flags=flags)
    return out
