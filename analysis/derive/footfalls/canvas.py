"""One plane for all frames of a film: the picture of its reference frame, as wide as the camera ever saw."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.values.camera import CameraKind, CameraPath

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Canvas:
    """``left``, ``width``: columns of the reference frame that some frame sees. ``maps``: (n, 3, 3), pixels
    of each frame to pixels of the reference frame; None for a still camera. ``sees``: (n, 2), first and last
    column (from ``left``) that a frame sees whole; none, (1, 0), where a frame can't be tied to the others.
    """

    left: int
    width: int
    height: int
    maps: Floats | None
    sees: Floats

    def blind(self, frame: int) -> bool:
        """Whether a frame shows nothing of the plane."""
        return bool(self.sees[frame, 0] > self.sees[frame, 1])

    def to_reference(self, frame: int, places: Floats) -> Floats:
        """Pixels of a frame, (n, 2), to pixels of the reference frame."""
        if self.maps is None:
            return places
        return _applied(self.maps[frame], places)

    def to_frame(self, frame: int, places: Floats) -> Floats:
        """Pixels of the reference frame, (n, 2), to pixels of a frame."""
        if self.maps is None:
            return places
        return _applied(np.linalg.inv(self.maps[frame]), places)


def canvas_of(frames: int, width: int, height: int, camera: CameraPath | None) -> Canvas:
    """The plane of a film of so many ``frames``, ``width`` by ``height`` px."""
    if camera is None or camera.kind is CameraKind.STILL or len(camera.maps) == 0:
        return Canvas(0, width, height, None, np.tile([0.0, width - 1.0], (frames, 1)))
    wanted = np.arange(frames) - int(camera.first)
    numbers = np.clip(wanted, 0, len(camera.maps) - 1)
    tied = (wanted == numbers) & camera.tied[numbers]
    maps = camera.maps[numbers]
    maps[~tied] = np.eye(3)
    corners = np.array([[0.0, 0.0], [0.0, height - 1.0], [width - 1.0, 0.0], [width - 1.0, height - 1.0]])
    seen = np.array([_applied(one, corners)[:, 0] for one in maps])
    first, last = seen[:, :2].max(axis=1), seen[:, 2:].min(axis=1)
    left = int(np.floor(max(seen[tied].min(initial=0.0), -6.0 * width)))
    right = int(np.ceil(min(seen[tied].max(initial=width - 1.0), 7.0 * width)))
    sees = np.column_stack([first - left, last - left])
    sees[~tied] = (1.0, 0.0)
    return Canvas(left, right - left + 1, height, maps, sees)


def _applied(matrix: Floats, places: Floats) -> Floats:
    mapped = places @ matrix[:, :2].T + matrix[:, 2]
    out: Floats = mapped[:, :2] / mapped[:, 2:]
    return out
