"""The followed points of the runs of the open project, looked up once for each state of a run."""

from __future__ import annotations

from contextlib import suppress

from analysis.jobs.tracks import KeptTracks, kept_tracks
from analysis.store import ProjectFile
from analysis.values.camera import CameraPath
from analysis.values.errors import CinderlaneError
from analysis.values.run import Run

_Asked = tuple[Run, str, CameraPath | None]


class Followed:
    """Finds what is kept of a run's followed points; looks again only where what they hang on changed."""

    def __init__(self) -> None:
        self._seen: dict[str, tuple[_Asked, KeptTracks]] = {}

    def forget(self) -> None:
        """Another project is open, or tracks were kept: look again."""
        self._seen.clear()

    def of(self, file: ProjectFile | None, run: Run | None) -> KeptTracks:
        """What holds for the run as it is."""
        entry = file.project.films.get(run.film_id) if file is not None and run is not None else None
        if file is None or run is None or entry is None:
            return KeptTracks()
        camera = file.project.film_cameras.get(run.film_id)
        path = None if camera is None else camera.path
        asked = (run, entry.fingerprint, path)
        seen = self._seen.get(run.id)
        if seen is None or not _same(seen[0], asked):
            found = KeptTracks()
            with suppress(CinderlaneError):  # a reading does without; what reads next says what is wrong
                found = kept_tracks(file, run, entry.fingerprint, path)
            seen = self._seen[run.id] = (asked, found)
        return seen[1]


def _same(one: _Asked, other: _Asked) -> bool:
    """Whether both ask for the same: what else was marked on the run does not matter."""
    (run, film, path), (now, film_now, path_now) = one, other
    return (
        (film, run.direction, run.first_frame, run.last_frame)
        == (film_now, now.direction, now.first_frame, now.last_frame)
        and path is path_now
        and run.points == now.points
    )
