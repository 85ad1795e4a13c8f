"""The ground strip: place across, time down, bright where something stands that does not belong there."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.cutting import Band
from analysis.derive.footfalls.stacked import blurred_each, share_of
from analysis.derive.footfalls.standing import Bare, Levels, Limits, standing

Floats = npt.NDArray[np.float64]
Frames = npt.NDArray[np.uint8]

TILE = 32
"""Columns that are looked at together."""
FOOT_ZONE = (0.10, 0.07)
"""Body heights over and under the ground line in which a standing foot is looked for."""
_GROUND_KNOWN = (0.32, 0.25)
"""Body heights over and under it in which the bare ground is known."""
_FOOT_ROWS = (0.13, 0.20)
"""Those in which a foot, once found, is looked at: fewer, as known ground ends in steps."""
_NEAR = 0.75
"""Body heights on either side of the runner within which a foot may stand."""
_CLEAR = (1.0, 0.5, 0.3)
"""Body heights from the runner from which on the ground is bare; the next where it is not seen so far off."""
_STANDS_S = 0.062
"""What keeps its brightness so long stands still."""
_BARE_LOOKS = 25
_FEWEST_FOR_GAIN = 60
_OFF_PX = 1
"""How far a standing foot seems to shake, by compression and where the camera was followed."""
_BESIDE = 3
"""Rows over and under those in which a foot is looked for that are blurred with them."""
_FEWEST_TO_SHAKE = 4
"""In fewer frames what shakes can't be told from what moves."""


@dataclass(frozen=True, eq=False)
class GroundStrip:
    """The band along the ground line, row by row in time.

    ``picture``: (frames, width) uint8, how much differs from the bare ground near it; ``stands``:
    (frames, width) uint8, how many of its rows hold something that stands; ``rests``: those of them that keep
    quite still, all of them before a still camera; ``lowest``: (frames, width) int16, the lowest row that
    stands in the band, -1 for none. Column ``c`` is column ``left + c`` of the reference frame. ``bare``:
    (rows, width), the ground without the runner, black in rows too far from the ground line to be looked at;
    ``spread``: how far a look at it is off that, grey levels.
    """

    picture: Frames
    stands: Frames
    rests: Frames
    lowest: npt.NDArray[np.int16]
    canvas: Canvas
    band: Band
    bare: Frames
    spread: Levels
    gains: Floats
    noise: float
    feet: tuple[float, float]

    def ground_row(self, column: float) -> float:
        """Row of the ground in the band."""
        return self.feet[0] * column + self.feet[1]

    def foot_rows(self, column: float, height_px: float) -> slice:
        """The rows of the band, at least four, in which a foot that stands at a column is looked at."""
        ground, rows = self.ground_row(column), len(self.bare)
        top = int(np.clip(ground - _FOOT_ROWS[0] * height_px, 0, rows - 4))
        return slice(top, int(np.clip(ground + _FOOT_ROWS[1] * height_px, top + 4, rows)))

    def pixel(self, frame: int, column: float) -> tuple[float, float]:
        """The pixel (u, v) of a frame that a place of the strip shows."""
        u = column + self.canvas.left
        v = self.band.place.v(u) + self.ground_row(column) - self.band.place.above
        place = self.canvas.to_frame(frame, np.array([[u, v]]))[0]
        return float(place[0]), float(place[1])


@dataclass(frozen=True, eq=False)
class Shine:
    """``gains``: how bright each frame is beside the middle of all, (n,); ``noise``: of a quiet pixel, grey
    levels.
    """

    gains: Floats
    noise: float

    @classmethod
    def of(cls, band: Band) -> Shine:
        """As a band's bare ground shows it."""
        return cls(_gains(band.sampled()), _noise(band))

    def every(self, step: int) -> Shine:
        """Of every so many frames."""
        return Shine(self.gains[::step], self.noise)


def read_strip(
    band: Band,
    canvas: Canvas,
    body: BodyPath,
    rate_hz: float,
    zone: tuple[float, float] = FOOT_ZONE,
    feet: tuple[float, float] | None = None,
    shine: Shine | None = None,
) -> GroundStrip:
    """The strip of a band.

    ``zone``: body heights over and under the ground in which a standing foot is looked for. ``feet``: the
    ground's row in the band is ``feet[0] column + feet[1]``, where the band's own line is not it.
    ``shine``: of the band, where it is known.
    """
    count, rows, width = band.pictures.shape
    shine = shine or Shine.of(band)
    gains, noise = shine.gains, shine.noise
    picture, stands, rests = np.zeros((3, count, width), np.uint8)
    lowest = np.full((count, width), -1, np.int16)
    ground = np.zeros((rows, width), np.uint8)
    spread: Levels = np.full((rows, width), noise, np.float32)
    feet = feet or (0.0, float(band.place.above))
    span = max(2, round(_STANDS_S * rate_hz))
    limits = Limits(noise, _OFF_PX if span >= _FEWEST_TO_SHAKE else 0, span)
    for begin in range(0, width, TILE):
        tile = slice(begin, min(width, begin + TILE))
        looked = _frames_for(tile, canvas, body, limits.span)
        if looked is None:
            continue
        when, picks = looked
        level = feet[0] * (tile.start + tile.stop) / 2 + feet[1]
        near = _rows_near(level, zone, body.height_px, rows)
        wide = _rows_near(level, _GROUND_KNOWN, body.height_px, rows)
        part = slice(max(0, near.start - _BESIDE), min(rows, near.stop + _BESIDE))
        wide = slice(min(wide.start, part.start), max(wide.stop, part.stop))
        looks = band.look(picks, wide, tile)
        bare = Bare.seen_in(blurred(looks, gains[picks]), noise)
        spread[wide, tile] = bare.spread
        plain = share_of(_evened(looks, gains[picks]), 0.5)
        ground[wide, tile] = np.clip(plain, 0, 255)
        inner = slice(near.start - part.start, near.stop - part.start)
        within = slice(part.start - wide.start, part.stop - wide.start)
        levels, there = blurred(band.look(when, part, tile), gains[when]), bare.rows(within)
        differs = np.abs(levels[:, inner] - there.levels[inner])
        picture[when, tile] = np.clip(differs.mean(axis=1) * 2, 0, 255)
        fit, keeps = (one[:, inner] for one in standing(levels, there, limits))
        rests[when, tile], stands[when, tile] = keeps.sum(axis=1), fit.sum(axis=1)
        bottom = near.stop - 1 - np.argmax(fit[:, ::-1], axis=1)
        lowest[when, tile] = np.where(fit.any(axis=1), bottom, -1)
    return GroundStrip(picture, stands, rests, lowest, canvas, band, ground, spread, gains, noise, feet)


def _frames_for(
    tile: slice, canvas: Canvas, body: BodyPath, span: int
) -> tuple[slice, npt.NDArray[np.int64]] | None:
    """The frames in which a foot may stand on some columns, and some in which these are bare; None where
    there are too few.
    """
    away = np.abs(body.u - (tile.start + tile.stop) / 2) - TILE / 2
    seen = (canvas.sees[:, 0] <= tile.start) & (canvas.sees[:, 1] >= tile.stop - 1)
    near = np.flatnonzero((away < _NEAR * body.height_px) & seen)
    for apart in _CLEAR:
        clear = np.flatnonzero((away > apart * body.height_px) & seen)
        if len(clear) >= 2:
            break
    if len(near) < span or len(clear) < 2:
        return None
    picks = clear[np.linspace(0, len(clear) - 1, min(_BARE_LOOKS, len(clear))).astype(int)]
    return slice(int(near[0]), int(near[-1]) + 1), picks


def _rows_near(ground: float, zone: tuple[float, float], height_px: float, rows: int) -> slice:
    """The rows of the band in which a standing foot is looked for."""
    top = min(max(0, round(ground - zone[0] * height_px)), rows - 1)
    return slice(top, min(max(top + 1, round(ground + zone[1] * height_px)), rows))


def blurred(pictures: Frames, gains: Floats) -> Levels:
    """Part of the band, as bright as the middle of all frames, (n, rows, w)."""
    return blurred_each(_evened(pictures, gains))


def _evened(pictures: Frames, gains: Floats) -> Levels:
    return np.asarray(pictures / gains[:, None, None].astype(np.float32), np.float32)


def _gains(sample: Frames) -> Floats:
    """How bright each frame is beside the middle of all, (n,); ``sample``: some pixels of each."""
    sample = sample.reshape(len(sample), -1)
    looks = sample[:: max(1, len(sample) // 60)].astype(np.float32)
    looks[looks == 0] = np.nan  # outside of what the frame sees
    often = np.isfinite(looks).sum(axis=0) >= 3
    middle = np.zeros(sample.shape[1], np.float32)
    middle[often] = np.nanmedian(looks[:, often], axis=0)
    use = middle > 12
    if use.sum() >= _FEWEST_FOR_GAIN and (sample[:, use] > 0).all():
        return np.clip(np.median(sample[:, use] / middle[use], axis=1), 0.5, 2.0)
    out = np.ones(len(sample))
    for number, one in enumerate(sample):
        seen = use & (one > 0)
        if seen.sum() >= _FEWEST_FOR_GAIN:
            out[number] = float(np.median(one[seen] / middle[seen]))
    return np.clip(out, 0.5, 2.0)


def _noise(band: Band) -> float:
    count, rows, width = band.pictures.shape
    picks = np.linspace(0, count - 2, min(24, count - 1)).astype(int)
    spreads = []
    for k in picks:
        both = band.look(slice(k, k + 2), slice(0, rows), slice(0, width))
        one, two = (cv2.blur(each, (3, 3)).astype(np.int16) for each in both)
        seen = (both[0] > 0) & (both[1] > 0)
        if seen.any():
            away = (one - two)[seen][::7]
            spreads.append(1.4826 * float(np.median(np.abs(away - np.median(away)))) / np.sqrt(2))
    return max(0.4, float(np.median(spreads))) if spreads else 1.0
