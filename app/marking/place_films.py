"""Which frames of which films belong to a camera's path and to a camera place."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from analysis.background.tie import TiedPlace
from analysis.jobs.tying import FilmPicture
from analysis.values.camera import CameraKind, CameraPath
from analysis.values.camera_place import FilmCamera
from analysis.values.project import Project
from app.marking.camera import camera_of


def stretch_of(project: Project, film_id: str) -> tuple[int, int]:
    """The first and the last frame of a film that any of its runs or their marks needs."""
    runs = [run for run in project.runs.values() if run.film_id == film_id]
    marked = [int(mark.frame) for run in runs for mark in run.marks]
    firsts = [int(run.first_frame) for run in runs] + marked
    lasts = [int(run.last_frame) for run in runs] + marked
    return min(firsts), max(lasts)


def picture_of(project: Project, film_id: str) -> FilmPicture | None:
    """The reference frame of a film as a job opens it; None where its file is not there."""
    entry = project.films.get(film_id)
    if entry is None or not entry.path or not Path(entry.path).is_file():
        return None
    path = camera_of(project, film_id).path
    frame = 0 if path is None else int(path.reference)
    return FilmPicture(Path(entry.path), frame, entry.coach_rate_hz, entry.every or 1)


def tied_film(project: Project, place_id: str, film_id: str) -> FilmCamera | None:
    """Of the other films of a camera place whose files are there, the one tied best; None for none."""
    others = {
        run.film_id
        for run in project.runs.values()
        if run.camera_place_id == place_id and run.film_id != film_id
    }
    there = [camera_of(project, other) for other in sorted(others) if picture_of(project, other) is not None]
    return min(there, key=_error, default=None)


def tie_through(tied: TiedPlace, other: FilmCamera) -> tuple[tuple[float, ...], float]:
    """The map from a film to a camera place, through another film of that place; and its error in px."""
    through = np.array(other.to_place, dtype=np.float64).reshape(3, 3) @ tied.map
    through /= through[2, 2]
    return tuple(float(n) for n in through.ravel()), float(np.hypot(tied.error_px, other.to_place_error_px))


def lost_frames(path: CameraPath | None) -> tuple[tuple[int, int], ...]:
    """Stretches of frames, both ends included, that can't be tied to the others."""
    if path is None or path.kind is not CameraKind.TURNING:
        return ()
    lost = np.concatenate([[False], ~np.isfinite(path.error_px), [False]]).astype(np.int8)
    begins, ends = np.flatnonzero(np.diff(lost) == 1), np.flatnonzero(np.diff(lost) == -1)
    first = int(path.first)
    return tuple((first + int(b), first + int(e) - 1) for b, e in zip(begins, ends, strict=True))


def _error(camera: FilmCamera) -> float:
    return camera.to_place_error_px
