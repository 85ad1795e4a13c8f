"""What a camera has in common with others: the place where it stood, whose marks serve many films."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from analysis.values.camera import CameraPath, Lens
from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark

UNMOVED: tuple[float, ...] = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0)
"""The map of a camera that stands as it stood: the unit matrix, row by row."""


@dataclass(frozen=True)
class CameraPlace:
    """A place where a camera stood for several films.

    ``marks``: in pixels of the place's own picture (their ``frame`` is always 0); ``lens`` and
    ``distance_m``, from the camera to the running line, or None where nobody said.
    """

    id: str
    name: str
    marks: tuple[GroundMark, ...] = field(default=())
    lens: Lens | None = None
    distance_m: float | None = None

    def __post_init__(self) -> None:
        marks = sorted(self.marks, key=lambda m: (m.x_m, m.y_m, m.z_m, m.id))
        object.__setattr__(self, "marks", tuple(replace(m, frame=FrameNumber(0)) for m in marks))


@dataclass(frozen=True)
class FilmCamera:
    """What is known of the camera of one film; ``id`` is the film's.

    ``path``: where every frame looks. ``lens``: this film's own. ``to_place``: the map from pixels of the
    film's reference frame (of the film's first frame where the camera stood still) to those of the picture of
    the camera place, row by row; ``to_place_error_px``: its standard uncertainty along each axis.
    """

    id: str
    path: CameraPath | None = None
    lens: Lens | None = None
    to_place: tuple[float, ...] = UNMOVED
    to_place_error_px: float = 0.0
