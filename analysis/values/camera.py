"""What is known of the camera of a film: its lens, and how it turned while filming."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from analysis.values.film import FrameNumber
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

_LIKE_A_WALK, _MOVES_PX = 0.3, 1.0
"""Share of how far the picture moved that is stated where a turn is not told from a walk; and pixels that it
moves at least.
"""
_MUCH = 4.0
"""Near and far that part company by a fourth of what is stated, or more, account for it, but for those that
part by a fourth of how far the picture moved.
"""


@dataclass(frozen=True)
class Lens:
    """One radial coefficient: a straight place ``x`` (from the centre, in units of ``focal_px``) is seen at
    ``x (1 + k1 |x|^2)``.

    ``centre``: (u, v) in px. ``k1_u``: standard uncertainty of ``k1``.
    """

    k1: float
    focal_px: float
    centre: tuple[float, float]
    k1_u: float = 0.0


class CameraKind(StrEnum):
    """How a camera moved: not at all, turning in its place, or walking (places can't be read then)."""

    STILL = "still"
    TURNING = "turning"
    WALKING = "walking"


@dataclass(frozen=True, eq=False)
class CameraPath:
    """Where every frame looks: maps from its pixels to those of one reference frame.

    ``first``: the first frame that ``maps`` holds. ``maps``: shape (n, 3, 3), pixels of frame ``first + i``
    to pixels of the reference (homogeneous, last number 1); unit matrices for a still camera. ``error_px``:
    shape (n,), standard uncertainty of a place taken through the map, along each axis, drift and the
    interpolation between mapped frames included; infinite where a frame could not be tied to the others.
    Of a camera that walked no place can be read: ``maps`` lay what it saw most of, often the far background,
    upon the reference, unit matrices where a frame could not be tied, and all errors are infinite.
    ``parallax_px``: how far near and far background part company, the sign of a camera that walks.
    ``lens``: the one from whose bend the pictures were freed before they were followed, None for none: the
    maps of a turning camera hold for pixels freed from that one only.
    """

    kind: CameraKind
    reference: FrameNumber
    first: FrameNumber
    maps: Floats = field(default_factory=lambda: np.empty((0, 3, 3)))
    error_px: Floats = field(default_factory=lambda: np.empty(0))
    parallax_px: float = 0.0
    lens: Lens | None = None

    def __eq__(self, other: object) -> bool:
        """True where both say the same of every frame."""
        if not isinstance(other, CameraPath):
            return NotImplemented
        mine = (self.kind, self.reference, self.first, self.parallax_px, self.lens)
        return (
            mine == (other.kind, other.reference, other.first, other.parallax_px, other.lens)
            and np.array_equal(self.maps, other.maps)
            and np.array_equal(self.error_px, other.error_px)
        )

    def __hash__(self) -> int:
        return hash((self.kind, self.reference, self.first, len(self.maps)))

    @property
    def tied(self) -> npt.NDArray[np.bool_]:
        """Which frames lie upon the reference, (n,), whether places can be read from them or not."""
        if self.kind is not CameraKind.WALKING:
            return np.isfinite(self.error_px)
        out: npt.NDArray[np.bool_] = (self.maps != np.eye(3)).any(axis=(1, 2))
        if out.any():
            out[int(self.reference) - int(self.first)] = True
        return out

    @property
    def doubt(self) -> str:
        """A sentence where what is stated is a good part of how far the picture moved, as it is where a small
        turn can't be told from a slow walk; else empty.
        """
        moved = np.hypot(self.maps[:, 0, 2], self.maps[:, 1, 2])
        far = self.tied & (moved > max(_MOVES_PX, 0.5 * float(moved.max(initial=0.0))))
        if self.kind is not CameraKind.TURNING or not far.any():
            return ""
        error, moved = float(np.median(self.error_px[far])), moved[far]
        if np.median(self.error_px[far] / moved) < _LIKE_A_WALK:
            return ""
        if error / _MUCH < self.parallax_px < float(np.median(moved)) / _MUCH:
            return ""
        return tr(
            "The picture moves so little that a small turn looks like a slow walk past the background. If "
            "the camera was carried along, places and speeds are off by up to as much as it moved; what they "
            "state allows for that."
        )

    def serves(self, lens: Lens | None) -> bool:
        """Whether the maps hold for pixels freed from this lens; a camera that stood still needs none."""
        return self.kind is not CameraKind.TURNING or self.lens == lens
