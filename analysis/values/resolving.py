"""What a run's reading rests on, put together from all that a project knows."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from analysis.values.bands import BandTable
from analysis.values.camera import CameraPath, Lens
from analysis.values.camera_place import CameraPlace, FilmCamera
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber
from analysis.values.project import Project
from analysis.values.run import Athlete, GroundMark, Run
from analysis.values.starting_bands import bands_for
from analysis.values.tagging import TaggingError, pooled

_SAME_PLACE_M = 1e-6


@dataclass(frozen=True)
class Seen:
    """A run with all that a project knows for reading it, but for its film's facts."""

    run: Run
    athlete: Athlete | None
    camera: CameraPath | None
    lens: Lens | None
    tagging: TaggingError | None
    bands: tuple[BandTable, ...]


def evidence_for(project: Project, run: Run, facts: FilmFacts, coach: str | None = None) -> Evidence:
    """The evidence for a run of a project: its own marks and those of its camera place, the lens, the
    camera's path, the athlete.

    What was said of the run or its film comes before what was said of the camera place. ``coach``: whose
    tagging error counts; None for that of all.
    """
    seen = run_as_seen(project, run, coach)
    return Evidence(seen.run, facts, seen.athlete, seen.camera, seen.lens, seen.tagging, bands=seen.bands)


def run_as_seen(project: Project, run: Run, coach: str | None = None) -> Seen:
    """The same without the film's facts."""
    camera = project.film_cameras.get(run.film_id)
    place = project.camera_places.get(run.camera_place_id or "")
    lens = camera.lens if camera is not None else None
    if place is not None:
        run = with_place(run, place, camera)
        lens = lens or place.lens
    athlete = project.athlete_of(run)
    path = None if camera is None else camera.path
    bands = bands_for(run, athlete, project.band_tables.values())
    return Seen(run, athlete, path, lens, tagging_of(project, coach), bands)


def tagging_of(project: Project, coach: str | None = None) -> TaggingError | None:
    """A coach's own tagging error, from all samples; None where none was measured."""
    return pooled(s for s in project.tagging.values() if coach is None or s.coach == coach)


def with_place(run: Run, place: CameraPlace, camera: FilmCamera | None) -> Run:
    """The run with the marks and the distance of its camera place, as far as it has none of its own there.

    Marks are taken back to the film's reference frame, their error grown by that of the map. A map that
    cannot be turned round leaves them out.
    """
    known = [(m.x_m, m.y_m, m.z_m) for m in run.marks]
    wanted = [m for m in place.marks if not any(_same(m, place_of) for place_of in known)]
    marks = _taken_back(wanted, camera)
    ids = {m.id for m in run.marks}
    added = tuple(replace(m, id=f"place:{m.id}") if m.id in ids else m for m in marks)
    distance = run.camera_distance_m if run.camera_distance_m is not None else place.distance_m
    return replace(run, marks=(*run.marks, *added), camera_distance_m=distance, camera_place_id=None)


def _same(mark: GroundMark, place: tuple[float, float, float]) -> bool:
    there = (mark.x_m, mark.y_m, mark.z_m)
    return max(abs(a - b) for a, b in zip(there, place, strict=True)) < _SAME_PLACE_M


def _taken_back(marks: list[GroundMark], camera: FilmCamera | None) -> list[GroundMark]:
    if camera is None:
        return [replace(m, frame=FrameNumber(0)) for m in marks]
    frame = _reference(camera.path)
    try:
        back = np.linalg.inv(np.array(camera.to_place, dtype=np.float64).reshape(3, 3))
    except (np.linalg.LinAlgError, ValueError):
        return []
    found = []
    for mark in marks:
        u, v, w = back @ np.array([mark.u, mark.v, 1.0])
        error = float(np.hypot(mark.error_px, camera.to_place_error_px))
        found.append(replace(mark, frame=frame, u=float(u / w), v=float(v / w), error_px=error))
    return found


def _reference(path: CameraPath | None) -> FrameNumber:
    return FrameNumber(0) if path is None else path.reference
