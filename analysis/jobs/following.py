"""Following body points in a process of its own, at the lowest priority, beside whatever else goes on."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from pathlib import Path

import numpy as np

from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.values.errors import FilmError
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Tracks
from analysis.values.words import tr


def save_tracks(tracks: Tracks, path: Path) -> None:
    """Write tracks as one file of arrays."""
    words = json.dumps([tracks.key, int(tracks.first), tracks.names, tracks.doubts])
    np.savez_compressed(
        path,
        words=np.array(words),
        places=tracks.places,
        u_px=tracks.u_px,
        standing=tracks.standing,
        memory=tracks.memory,
    )


def load_tracks(path: Path) -> Tracks:
    """Read what ``save_tracks`` wrote. Raises FilmError where it can't be read."""
    try:
        with np.load(path, allow_pickle=False) as stored:
            key, first, names, doubts = json.loads(str(stored["words"]))
            arrays = {name: stored[name] for name in ("places", "u_px", "standing", "memory")}
    except (OSError, ValueError, KeyError, EOFError) as error:
        raise FilmError(tr("The followed points can't be read. Follow them again.")) from error
    return Tracks(
        key,
        FrameNumber(first),
        tuple(names),
        arrays["places"],
        arrays["u_px"],
        arrays["standing"],
        arrays["memory"],
        tuple(doubts),
    )


class FollowingJob(ChildJob[Tracks]):
    """Follows the points of one stretch.

    ``before``, ``changed``: tracks of which only the stretch around these frames is followed anew.
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
        before: Tracks | None = None,
        changed: Sequence[int] = (),
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
            save_tracks(before, known)
        self._start(
            "analysis.jobs.following",
            film,
            coach_rate_hz,
            every,
            points=[asdict(p) for p in points],
            first=first,
            last=last,
            direction=direction.value,
            before=None if before is None else str(known),
            changed=list(changed),
        )

    def _read(self, found: Path) -> Tracks:
        return load_tracks(found)


def _follow(wish: Wish) -> None:
    """The child's work: follow, and write the tracks."""
    from analysis.derive.following import follow_again, follow_points

    what = wish.what
    points = [BodyPoint(**p) for p in what["points"]]
    direction = Direction(what["direction"])
    if what["before"] is None:
        tracks = follow_points(
            wish.film(),
            points,
            what["first"],
            what["last"],
            direction,
            progress=wish.say,
            stopped=wish.orphaned,
        )
    else:
        known = load_tracks(Path(what["before"]))
        tracks = follow_again(
            wish.film(), known, points, what["changed"], direction, progress=wish.say, stopped=wish.orphaned
        )
    save_tracks(tracks, wish.found)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _follow))
