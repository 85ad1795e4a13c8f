"""All that a reading rests on, in one value."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from analysis.values.bands import BandTable
from analysis.values.camera import CameraPath, Lens
from analysis.values.film import FilmFacts
from analysis.values.run import Athlete, Run
from analysis.values.tagging import TaggingError
from analysis.values.tracks import Tracks


class TrackedPoint(StrEnum):
    """The point whose way along the line gives step velocities, splits and speeds."""

    HIPS = "hips"
    CENTRE_OF_MASS = "centre of mass"


@dataclass(frozen=True)
class Evidence:
    """A run, the film it was marked on, and the athlete as on that day.

    ``camera``: where every frame looks; None for a camera that stands still. ``lens``: None for one that
    keeps straight things straight. ``tagging``: the coach's own tagging error, where it was measured.
    ``tracks``: the points followed between the placed ones, as far as that was done for these very points.
    ``outdated_tracks``: points were followed, but under conditions that are others by now.
    ``bands``: the tables of bands that count for this run, in the order in which they count;
    None for the starting bands where nothing speaks against them.
    ``lines_between``: pairs of body points, lower and upper end of a line whose angle is asked for.
    ``tracked``: the point whose way gives the speeds.
    """

    run: Run
    film: FilmFacts
    athlete: Athlete | None = None
    camera: CameraPath | None = None
    lens: Lens | None = None
    tagging: TaggingError | None = None
    tracks: Tracks | None = None
    outdated_tracks: bool = False
    bands: tuple[BandTable, ...] | None = None
    lines_between: tuple[tuple[str, str], ...] = ()
    tracked: TrackedPoint = TrackedPoint.HIPS
