"""The followed points of a run, as its project keeps them: those that hold for it as it is marked now."""

from __future__ import annotations

from dataclasses import dataclass, replace

from analysis.store import ProjectFile
from analysis.values.camera import CameraPath
from analysis.values.evidence import Evidence
from analysis.values.run import BodyPoint, Run
from analysis.values.tracks import Tracks, followable, still_holding, stretch_of, tracks_key


@dataclass(frozen=True)
class KeptTracks:
    """``tracks``: as far as they hold; None where there are none. ``outdated``: points were followed, but for
    another film, direction or way of the camera, or in another way than by now. ``points``: of the run for
    which this was found out.
    """

    tracks: Tracks | None = None
    outdated: bool = False
    points: tuple[BodyPoint, ...] = ()

    def beside(self, run: Run) -> KeptTracks:
        """As far as they would hold for a run whose points may be others."""
        if self.tracks is None or run.points is self.points:
            return self
        points = followable(run.points, int(run.first_frame), int(run.last_frame))
        return replace(self, tracks=still_holding(self.tracks, points), points=run.points)

    def laid_into(self, evidence: Evidence) -> Evidence:
        """The evidence with these tracks."""
        return replace(evidence, tracks=self.tracks, outdated_tracks=self.outdated)


def kept_tracks(file: ProjectFile, run: Run, fingerprint: str, camera: CameraPath | None) -> KeptTracks:
    """What the project keeps of followed points of a run. ``fingerprint``: of its film; ``camera``: where its
    frames look. Raises ProjectError where the file can't be read.
    """
    latest = file.latest_tracks(run.id)
    ends = stretch_of(run.points, int(run.first_frame), int(run.last_frame))
    if latest is None or ends is None:
        return KeptTracks()
    made_by = run.direction, camera
    key = tracks_key(fingerprint, *ends, run.points, *made_by)
    held = latest if latest.key == key else file.tracks(key)
    if held is not None:
        return KeptTracks(held, points=run.points)
    if tracks_key(fingerprint, int(latest.first), latest.last, latest.placed, *made_by) != latest.key:
        return KeptTracks(outdated=True)
    return KeptTracks(latest).beside(run)
