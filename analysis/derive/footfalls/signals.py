"""What is seen of a foot in the frames around its touchdown and its toe-off, each between rest and gone."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.standing import Levels, edge_from, slope, still_within, unlike_from
from analysis.derive.footfalls.strip import GroundStrip, blurred
from analysis.derive.footfalls.tip_motion import carried

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]

AROUND_S = 0.115
"""So much is looked at before and after the event that the strip tells."""
_BESIDE, _BESIDE_TIP = 0.13, 0.07
_LOW, _BELOW = 0.035, 0.03
_FEWEST_PIXELS = 4
_STIRS_S = 0.0085
_EARLY, _LATE = (0.15, 0.5), (0.5, 0.85)
"""The parts of a stand in which a foot that has landed, or is to leave, is taken to look as it does."""


@dataclass(frozen=True, eq=False)
class Signals:
    """``values``: (n, 5), from the strip's frame ``first`` on: how far the foot's edges are off how they
    stand; those near the ground; the share of the ground under it that is bare; how fast its motion carries
    the place it stands on; how much stirs near the ground. Each 0 at rest, 1 or so in full flight.
    """

    first: int
    values: Floats


def landing(strip: GroundStrip, one: Streak, height_px: float, rate_hz: float, forwards: float) -> Signals:
    """Around the touchdown of a streak."""
    first, last = _frames(strip, one.begin, rate_hz)
    seen = _Seen(strip, one, one.column, _BESIDE, height_px, (first, last), _EARLY)
    moved = carried(strip, one.column, height_px, rate_hz, forwards, (first, last), (0.10, 0.08))
    return Signals(first, np.column_stack([*seen.signals(rate_hz), moved]))


def leaving(strip: GroundStrip, one: Streak, height_px: float, rate_hz: float, forwards: float) -> Signals:
    """Around the toe-off of a streak."""
    first, last = _frames(strip, one.end, rate_hz)
    seen = _Seen(strip, one, one.tip, _BESIDE_TIP, height_px, (first, last), _LATE)
    moved = carried(strip, one.tip, height_px, rate_hz, forwards, (first, last), (0.04, 0.10))
    return Signals(first, np.column_stack([*seen.signals(rate_hz), moved]))


def _frames(strip: GroundStrip, event: int, rate_hz: float) -> tuple[int, int]:
    around = round(AROUND_S * rate_hz) + 1
    return max(0, event - around), min(len(strip.picture), event + around + 1)


class _Seen:
    """The place around a foot, and how it looks while it stands."""

    def __init__(
        self,
        strip: GroundStrip,
        one: Streak,
        column: float,
        beside: float,
        height_px: float,
        frames: tuple[int, int],
        part: tuple[float, float],
    ) -> None:
        reach, width = max(4, round(beside * height_px)), strip.bare.shape[1]
        left, right = max(0, round(column) - reach), min(width, round(column) + reach + 1)
        cut = (strip.foot_rows(column, height_px), slice(left, right))
        self.bare = np.asarray(cv2.blur(strip.bare[cut].astype(np.float32), (3, 3)), np.float32)
        self.spread, self.noise = strip.spread[cut], strip.noise
        ground = strip.ground_row(column) - cut[0].start
        low = slice(max(0, round(ground - _LOW * height_px)), max(2, round(ground + _BELOW * height_px)))
        self.low = np.zeros(self.bare.shape, bool)
        self.low[low] = True
        stood = one.end - one.begin
        begin = one.begin + int(part[0] * stood)
        end = max(begin + 2, one.begin + int(np.ceil(part[1] * stood)))
        self.stands = self._levels(strip, cut, begin, min(end, len(strip.picture)))
        self.levels = self._levels(strip, cut, *frames)

    @staticmethod
    def _levels(strip: GroundStrip, cut: tuple[slice, slice], begin: int, end: int) -> Levels:
        return blurred(strip.band.look(slice(begin, end), *cut), strip.gains[begin:end])

    def signals(self, rate_hz: float) -> list[Floats]:
        """All but how it is carried, (n,) each."""
        foot, contrast = self.stands.mean(axis=0), np.abs(self.stands.mean(axis=0) - self.bare)
        rests = np.ptp(self.stands, axis=0) < still_within(self.noise)
        differs = contrast > unlike_from(self.spread)
        steep = slope(foot) + np.abs(cv2.Sobel(foot, cv2.CV_32F, 0, 1, scale=0.125))
        weight = np.where(rests & differs, np.maximum(steep - edge_from(self.noise), 0.0), 0.0)
        return [
            self._away(foot, contrast, weight),
            self._away(foot, contrast, np.where(self.low, weight, 0.0)),
            self._uncovered(foot),
            self._stirs(rate_hz),
        ]

    def _away(self, foot: Levels, contrast: Levels, weight: Levels) -> Floats:
        if (weight > 0).sum() < _FEWEST_PIXELS:
            return np.full(len(self.levels), 0.5)
        full = float((weight * contrast).sum())
        off = np.abs(self.levels - foot).reshape(len(self.levels), -1) @ weight.ravel()
        return np.asarray(np.clip(off / full, 0.0, 2.0), np.float64)

    def _uncovered(self, foot: Levels) -> Floats:
        own = self.low & (np.abs(foot - self.bare) > np.maximum(8.0, 4.0 * self.spread))
        if own.sum() < _FEWEST_PIXELS:
            return np.full(len(self.levels), 0.5)
        share = (self.levels[:, own] - self.bare[own]) / (foot[own] - self.bare[own])
        return np.asarray((share < 0.5).mean(axis=1), np.float64)

    def _stirs(self, rate_hz: float) -> Floats:
        gap = max(1, round(_STIRS_S * rate_hz))
        part = self.levels[:, self.low]
        if len(part) <= gap:
            return np.zeros(len(part))
        off = np.maximum(np.abs(part[gap:] - part[:-gap]) - 2 * self.noise, 0.0).mean(axis=1)
        at = np.arange(len(off)) + gap / 2
        whole = np.interp(np.arange(len(part)), at, off)
        return np.asarray(whole / max(float(whole.max()), 0.5), np.float64)
