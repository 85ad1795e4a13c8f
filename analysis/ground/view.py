"""From the pixels of any frame to straight pixels of one picture, and back.

Clicks are first freed from the lens, then taken through the camera's path to its reference frame: the maps of
a path are those between *straight* pixels, freed from the very lens with which the path was followed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from analysis.ground import lens as lenses
from analysis.ground.carried import Source, normal
from analysis.values.camera import CameraKind, CameraPath, Lens

Floats = npt.NDArray[np.float64]
Frames = npt.NDArray[np.int64] | Sequence[int]

DRIFT_FRAMES_S = 0.5
"""Frames so far apart in time share nothing of the path's drift, s. In films whose cameras are known, in the
hands or carried, what maps are off parts over a quarter of a second by half as much, over half a second by
0.8 times as much as if nothing were shared.
"""

_HERE_PX = 1e-3
"""A frame that lies no farther back counts as at the reference: rounding is to decide nothing."""
CARRIED_SHARE = 0.8
"""Of the variance of what a path states, that of a camera that was carried (own): it is the most of it where
the ground is bare, and goes one way all through a film.
"""


@dataclass(frozen=True, eq=False)
class View:
    """``width``, ``height``: of the picture, px. ``rate_hz``: frames a second of capture time."""

    width: int
    height: int
    lens: Lens | None = None
    path: CameraPath | None = None
    rate_hz: float | None = None

    @property
    def moves(self) -> bool:
        """Whether the camera turned, so that every frame has its own map."""
        return self.path is not None and self.path.kind is CameraKind.TURNING

    @property
    def walks(self) -> bool:
        """Whether the camera walked, so that no map ties its frames."""
        return self.path is not None and self.path.kind is CameraKind.WALKING

    @property
    def stale(self) -> bool:
        """Whether the path was followed with another lens, so that its maps don't hold any more."""
        return self.path is not None and not self.path.serves(self.lens)

    @property
    def plain(self) -> bool:
        """Whether pixels are good as they are."""
        return self.lens is None and not self.moves

    def straight(self, frames: Frames, pixels: Floats) -> Floats:
        """Straight pixels of the reference, (n, 2), of pixels on frames; NaN where a frame is not tied."""
        out = pixels if self.lens is None else lenses.straightened(self.lens, pixels)
        return _mapped(self._maps_of(frames), out) if self.moves else out

    def seen(self, frames: Frames, straight: Floats) -> Floats:
        """Pixels on frames, (n, 2), of straight pixels of the reference."""
        out = straight
        if self.moves:
            maps = self._maps_of(frames)
            tied = np.isfinite(maps).all(axis=(1, 2))
            back = np.full_like(maps, np.nan)
            back[tied] = np.linalg.inv(maps[tied])
            out = _mapped(back, out)
        return out if self.lens is None else lenses.bent(self.lens, out)

    def stretch(self, frames: Frames, pixels: Floats) -> Floats:
        """How many straight pixels of the reference a pixel on a frame is, mean of the two ways, (n,)."""
        size = np.ones(len(pixels))
        out = pixels
        if self.lens is not None:
            out = lenses.straightened(self.lens, pixels)
            size = size * lenses.stretch(self.lens, out)
        if self.moves:
            maps = self._maps_of(frames)
            with np.errstate(invalid="ignore"):  # frames that can't be tied hold no numbers
                below = np.einsum("nj,nj->n", maps[:, 2, :2], out) + maps[:, 2, 2]
                size = size * np.sqrt(np.abs(np.linalg.det(maps) / below**3))
        return size

    def lens_u_px(self, pixels: Floats) -> Floats:
        """How far the lens's own error moves pixels of any frame, straight px, (n,)."""
        if self.lens is None or self.lens.k1_u <= 0:
            return np.zeros(len(pixels))
        straight = lenses.straightened(self.lens, pixels)
        out: Floats = self.lens.k1_u * np.linalg.norm(lenses.moved_by_k1(self.lens, straight), axis=1)
        return out

    def drift_px(self, frames: Frames) -> Floats:
        """Standard uncertainty that the path adds to places on frames, px, (n,); 0 for a still camera."""
        if not self.moves or self.path is None:
            return np.zeros(len(frames))
        place, there = self._places(frames)
        out: Floats = np.where(there, self._errors[place], np.inf)
        return out

    def moved_u_px(self, frames: Frames) -> Floats:
        """How far along the reference the picture's middle lies on frames, px, (n,)."""
        middle = np.array([[(self.width - 1) / 2, (self.height - 1) / 2]])
        there = _mapped(self._maps_of(frames), np.repeat(middle, len(frames), axis=0))
        return np.asarray(there[:, 0] - middle[0, 0], np.float64)

    def untied(self, frames: Frames) -> npt.NDArray[np.bool_]:
        """Which frames can't be tied to the others, (n,)."""
        out: npt.NDArray[np.bool_] = ~np.isfinite(self.drift_px(frames))
        return out

    def turned(self) -> View:
        """The same, with each frame only turned about the picture's middle, as its map turns it there: for
        angles where no marks give a plane.
        """
        if not self.moves or self.path is None or not len(self.path.maps):
            return self
        centre = np.array([(self.width - 1) / 2, (self.height - 1) / 2])
        maps = self.path.maps
        below = maps[:, 2, :2] @ centre + maps[:, 2, 2]
        middle = (maps[:, :2, :2] @ centre + maps[:, :2, 2]) / below[:, None]
        slope = (maps[:, :2, :2] - middle[:, :, None] * maps[:, 2, None, :2]) / below[:, None, None]
        angle = np.arctan2(slope[:, 1, 0] - slope[:, 0, 1], slope[:, 0, 0] + slope[:, 1, 1])
        turns = np.zeros((len(maps), 3, 3))
        turns[:, 0, 0] = turns[:, 1, 1] = np.cos(angle)
        turns[:, 1, 0] = np.sin(angle)
        turns[:, 0, 1] = -turns[:, 1, 0]
        turns[:, :2, 2] = centre - turns[:, :2, :2] @ centre
        turns[:, 2, 2] = 1.0
        path = replace(self.path, maps=turns)
        return View(self.width, self.height, self.lens, path, self.rate_hz)

    @cached_property
    def _errors(self) -> Floats:
        assert self.path is not None
        return np.append(self.path.error_px, np.inf)

    def _places(self, frames: Frames) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.bool_]]:
        assert self.path is not None
        place = np.asarray(frames, dtype=np.int64) - int(self.path.first)
        count = min(len(self.path.maps), len(self.path.error_px))
        there = (place >= 0) & (place < count)
        return np.where(there, place, count), there

    def _maps_of(self, frames: Frames) -> Floats:
        assert self.path is not None
        place, _ = self._places(frames)
        count = min(len(self.path.maps), len(self.path.error_px))
        maps = np.concatenate([self.path.maps[:count], np.full((1, 3, 3), np.nan)])[place]
        maps[~np.isfinite(self._errors[: count + 1][place])] = np.nan
        return maps


class Drift:
    """The drift of a camera's path as errors that frames share.

    Most of it is what a camera that was carried would add: one error of the film, which grows from the
    reference on, one way and the other. The rest is an error for every half second; a frame between two of
    them takes part of both, so that near frames drift together, and no mean over many frames makes it smaller
    than these few errors allow. Places are found from marks, so what the marks' frames drift by is taken off;
    on one frame with them nothing is left.

    ``marks``: the frames on which they stand.
    """

    def __init__(self, view: View, marks: Frames = ()) -> None:
        assert view.path is not None
        self._view = view
        self._every = max(1, round(DRIFT_FRAMES_S * (view.rate_hz or 60.0)))
        knots = 2 + len(view.path.error_px) // self._every
        self.sources: tuple[Source, ...] = tuple(normal(1.0) for _ in range(1 + knots))
        tied = np.isfinite(view.drift_px(marks))
        self._of_marks = (
            self._own(np.asarray(marks, dtype=np.int64)[tied]).mean(axis=0) if tied.any() else 0.0
        )

    def columns(self, frames: Frames) -> Floats:
        """Moves of places on frames by each error, straight px, shape (n, sources)."""
        return self._own(frames) - self._of_marks

    def _own(self, frames: Frames) -> Floats:
        """The same without that of the marks: as large as the path says."""
        assert self._view.path is not None
        size = self._view.drift_px(frames)
        along = (np.asarray(frames, dtype=np.float64) - int(self._view.path.first)) / self._every
        along = np.clip(along, 0.0, len(self.sources) - 2.001)
        before = np.floor(along).astype(np.int64)
        share = along - before
        total = np.hypot(share, 1.0 - share) / math.sqrt(1.0 - CARRIED_SHARE)
        out = np.zeros((len(size), len(self.sources)))
        rows = np.arange(len(size))
        way = np.where(self._view.moved_u_px(frames) < -_HERE_PX, -1.0, 1.0)
        out[:, 0] = size * math.sqrt(CARRIED_SHARE) * way
        out[rows, 1 + before] = size * (1.0 - share) / total
        out[rows, 2 + before] = size * share / total
        return out


def _mapped(maps: Floats, pixels: Floats) -> Floats:
    """Each pixel through its own map, (n, 2); NaN where it would lie behind the camera."""
    with np.errstate(invalid="ignore"):  # frames that can't be tied hold no numbers
        moved = np.einsum("nij,nj->ni", maps[:, :, :2], pixels) + maps[:, :, 2]
        below = np.where(moved[:, 2] > 1e-9, moved[:, 2], np.nan)
        out: Floats = moved[:, :2] / below[:, None]
    return out
