"""Where the ground line runs in the picture: through the marks, else under the moving body."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.cutting import BandPlace
from analysis.derive.footfalls.strip import GroundStrip
from analysis.values.run import GroundMark

STATURE_M = 1.75
"""How tall a runner is taken to be where only the marks' scale is known (own assumption)."""
_ON_GROUND_M = 0.03
_EDGE, _CUT_OFF = 0.03, 0.5
"""Body heights from the picture's lower edge within which what moves is cut off; share of frames in which the
ground is then taken to lie outside.
"""


@dataclass(frozen=True)
class Level:
    """``v = slope u + offset`` in the reference frame; ``tall_px``: height of a body there."""

    slope: float
    offset: float
    tall_px: float

    def place(self, above: float, below: float) -> BandPlace:
        """A band that reaches so many body heights over and under the line."""
        return BandPlace(
            self.slope, self.offset, max(8, round(above * self.tall_px)), max(4, round(below * self.tall_px))
        )

    def flat_place(self, above: float, below: float, canvas: Canvas) -> tuple[BandPlace, tuple[float, float]]:
        """A level band of a still camera's pictures that reaches so many body heights over and under the
        line, and slope and row at column 0 of the line in it.
        """
        ends = self.offset, self.offset + self.slope * canvas.width
        top = max(0, round(min(ends) - above * self.tall_px)) // 2 * 2
        stop = min(canvas.height, max(top + 8, round(max(ends) + below * self.tall_px)))
        line = min(max(round(sum(ends) / 2), top + 1), stop - 1)
        return BandPlace(0.0, float(line), line - top, stop - line), (self.slope, self.offset - top)

    def is_below(self, canvas: Canvas) -> bool:
        """Whether the whole line lies under the picture."""
        ends = (canvas.left, canvas.left + canvas.width)
        return min(self.offset + self.slope * u for u in ends) > canvas.height

    def body_rows(self, width: int) -> tuple[float, float]:
        """The rows between which a body on the line runs across a picture of that width."""
        ends = (self.offset, self.offset + self.slope * width)
        return min(ends) - 1.3 * self.tall_px, max(ends) + 0.2 * self.tall_px


def level_from_marks(marks: Sequence[GroundMark], canvas: Canvas) -> Level | None:
    """The line through the marks on the ground; None with fewer than two places."""
    frames = range(len(canvas.sees))
    tied = [mark for mark in marks if mark.frame in frames and not canvas.blind(mark.frame)]
    low = [mark for mark in tied if abs(mark.y_m) <= _ON_GROUND_M and abs(mark.z_m) <= _ON_GROUND_M]
    if len({mark.x_m for mark in low}) < 2:
        return None
    places = np.array([canvas.to_reference(m.frame, np.array([[m.u, m.v]]))[0] for m in low])
    metres = np.array([mark.x_m for mark in low])
    if np.ptp(places[:, 0]) < 10 or np.ptp(metres) <= 0:
        return None
    slope, offset = np.polyfit(places[:, 0], places[:, 1], 1)
    scale = abs(np.polyfit(metres, places[:, 0], 1)[0])
    return Level(float(slope), float(offset), float(STATURE_M * scale))


def level_from_motion(body: BodyPath, height: int) -> Level | None:
    """The line under the lowest that moves; a shadow may draw it too low. None where too little moves, or
    where the picture, so many px high, cuts it off below.
    """
    seen = np.isfinite(body.low) & body.there
    u, v = body.u[seen], body.low[seen]
    if len(u) < 6 or np.mean(v > height - _EDGE * body.height_px) > _CUT_OFF:
        return None
    slope, offset = 0.0, float(np.median(v))
    keep = np.ones(len(u), bool)
    for _ in range(6):
        if np.ptp(u[keep]) < body.height_px:
            break
        slope, offset = (float(n) for n in np.polyfit(u[keep], v[keep], 1))
        away = v - (slope * u + offset)
        keep = (away > -0.03 * body.height_px) & (away < 0.12 * body.height_px)
        if keep.sum() < 6:
            break
    if abs(slope) > 0.15:
        slope, offset = 0.0, float(np.quantile(v, 0.8))
    return Level(slope, offset, body.height_px)


def feet_line(strip: GroundStrip, streaks: Sequence[Streak], height_px: float) -> tuple[float, float] | None:
    """Slope and row at column 0 of the line under the feet that were found, in rows of the band; None where
    too few were.
    """
    rows, columns = [], []
    for one in streaks:
        reach = max(2, round(0.05 * height_px))
        begin = max(0, round(one.column) - reach)
        part = strip.lowest[one.begin : one.end, begin : round(one.column) + reach + 1]
        found = part[part >= 0]
        if len(found):
            rows.append(float(np.quantile(found, 0.8)))
            columns.append(one.column)
    if len(rows) < 2:
        return None
    v, u = np.array(rows) + 1.0, np.array(columns)
    i, j = np.triu_indices(len(u), 1)
    far = np.abs(u[j] - u[i]) > 0.5 * height_px
    slope = float(np.median((v[j] - v[i])[far] / (u[j] - u[i])[far])) if far.sum() >= 3 else 0.0
    return slope, float(np.median(v - slope * u))


def height_over(body: BodyPath, place: BandPlace, left: int, feet: tuple[float, float]) -> float:
    """Height of a body that stands on the line of its feet, px. ``feet``: that line in rows of the band at
    ``place``, whose column 0 is the reference frame's ``left``.
    """
    at = np.flatnonzero(np.isfinite(body.top) & body.there)
    columns = body.u[at]
    ground = np.array([place.v(c + left) for c in columns]) - place.above
    heights = ground + feet[0] * columns + feet[1] - body.top[at]
    return float(np.quantile(heights, 0.6))
