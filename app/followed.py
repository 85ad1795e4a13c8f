"""The followed points of the run at hand, as the project file keeps them."""

from __future__ import annotations

from contextlib import suppress

from analysis.store import ProjectFile
from analysis.values.errors import CinderlaneError
from analysis.values.run import BodyPoint, Run
from analysis.values.tracks import Tracks, tracks_key


class Followed:
    """Finds tracks that were made from the very points of a run; looks again only where those changed."""

    def __init__(self) -> None:
        self._seen: dict[str, tuple[tuple[BodyPoint, ...], str, Tracks | None]] = {}

    def forget(self) -> None:
        """Another project is open: look again."""
        self._seen.clear()

    def of(self, file: ProjectFile | None, run: Run | None) -> Tracks | None:
        """The tracks that hold for the run's points as they are; None where there are none."""
        entry = file.project.films.get(run.film_id) if file is not None and run is not None else None
        if file is None or run is None or entry is None:
            return None
        seen = self._seen.get(run.id)
        if seen is None or seen[0] != run.points or seen[1] != entry.fingerprint:
            found: Tracks | None = None
            with suppress(CinderlaneError):  # a reading does without; what reads next says what is wrong
                found = _found(file, run, entry.fingerprint)
            seen = self._seen[run.id] = (run.points, entry.fingerprint, found)
        return seen[2]


def _found(file: ProjectFile, run: Run, fingerprint: str) -> Tracks | None:
    latest = file.latest_tracks(run.id)
    if latest is None:
        return None
    # here, since it brings much with it that only those need who have points followed
    from analysis.derive.following import METHOD

    frames = [int(p.frame) for p in run.points]
    ends = {(int(latest.first), latest.last), (min(frames, default=0), max(frames, default=0))}
    for first, last in sorted(ends):
        key = tracks_key(fingerprint, METHOD, first, last, run.points)
        held = latest if latest.key == key else file.tracks(key)
        if held is not None:
            return held
    return None
