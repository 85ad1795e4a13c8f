"""Following body points in a process of its own, at the lowest priority, beside whatever else goes on."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path

from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.values.camera import CameraPath
from analysis.values.errors import FilmError
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Tracks
from analysis.values.tracks_file import read_tracks, write_tracks
from analysis.values.words import tr


def load_tracks(path: Path) -> Tracks:
    """Read followed points from a file. Raises FilmError where they can't be read."""
    try:
        return read_tracks(path)
    except (OSError, ValueError) as error:
        raise FilmError(tr("The followed points can't be read. Follow them again.")) from error


class FollowingJob(ChildJob[Tracks]):
    """Follows the points of one stretch.

    ``camera``: where each frame looks, for one that turned. ``before``: tracks of which only the stretches
    around points that changed since are followed anew. ``ahead``: for proposals, as in ``follow_points``.
    ``coach_rate_hz``, ``every``: as the film was opened.
    """

    def __init__(
        self,
        film: Path,
        points: Iterable[BodyPoint],
        first: int,
        last: int,
        direction: Direction,
        *,
        camera: CameraPath | None = None,
        before: Tracks | None = None,
        ahead: bool = False,
        coach_rate_hz: float | None = None,
        every: int = 1,
    ) -> None:
        excuses = Excuses(
            tr("The points are still being followed."),
            tr("Following the points was stopped."),
            tr("The points could not be followed: the work beside ended before its time. Try again."),
        )
        super().__init__("tracks.npz", excuses)
        known = self._place / "before.npz"
        if before is not None:
            write_tracks(before, known)
        self._start(
            "analysis.jobs.following",
            film,
            coach_rate_hz,
            every,
            points=[asdict(p) for p in points],
            first=first,
            last=last,
            direction=direction.value,
            camera=self._camera_wish(camera),
            before=None if before is None else str(known),
            ahead=ahead,
        )

    def _read(self, found: Path) -> Tracks:
        return load_tracks(found)


def _follow(wish: Wish) -> None:
    """The child's work: follow, and write the tracks."""
    from analysis.derive.following import follow_again, follow_points

    what = wish.what
    points = [BodyPoint(**p) for p in what["points"]]
    ends = what["first"], what["last"]
    rest = *ends, Direction(what["direction"]), wish.camera(), wish.say, wish.orphaned
    if what["before"] is None:
        tracks = follow_points(wish.film(), points, *rest, ahead=what["ahead"])
    else:
        tracks = follow_again(wish.film(), load_tracks(Path(what["before"])), points, *rest)
    write_tracks(tracks, wish.found)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _follow))
