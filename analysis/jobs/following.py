"""Following body points in a process of its own, at the lowest priority, beside whatever else goes on."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path

import numpy as np

from analysis.jobs.background import JobState
from analysis.values.errors import CinderlaneError, FilmError
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Tracks
from analysis.values.words import tr

_DONE, _FAULT, _GIVEN_UP = 0, 2, 4
_ROOT = Path(__file__).resolve().parents[2]


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


class FollowingJob:
    """Follows the points of one stretch. Nothing here waits: ask ``poll`` now and then; ``close`` it in the
    end, whatever became of it.

    ``before``, ``changed``: tracks of which only the stretch around these frames is followed anew.
    ``coach_rate_hz``, ``every``: as the film was opened (analysis.film.open_film), so that frames have the
    same numbers.
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
        self._folder = tempfile.TemporaryDirectory(prefix="cinderlane-", ignore_cleanup_errors=True)
        place = Path(self._folder.name)
        self._found, self._told, self._why = place / "tracks.npz", place / "progress", place / "why"
        if before is not None:
            save_tracks(before, place / "before.npz")
        wish = {
            "film": str(film),
            "points": [asdict(p) for p in points],
            "first": first,
            "last": last,
            "direction": direction.value,
            "before": None if before is None else str(place / "before.npz"),
            "changed": list(changed),
            "rate": coach_rate_hz,
            "every": every,
            "found": str(self._found),
            "parent": os.getpid(),
        }
        (place / "wish.json").write_text(json.dumps(wish), encoding="utf-8")
        idle = getattr(subprocess, "IDLE_PRIORITY_CLASS", 0)  # Windows alone has it
        with self._told.open("wb") as told, self._why.open("wb") as why:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "analysis.jobs.following", str(place / "wish.json")],
                stdin=subprocess.DEVNULL,
                stdout=told,
                stderr=why,
                creationflags=idle,
                cwd=_ROOT,
            )
        self._cancelled = False
        self._progress = 0.0

    @property
    def progress(self) -> float:
        """The share that is done, 0 to 1, as of the last ``poll``."""
        return self._progress

    def poll(self) -> JobState:
        """How far it is now."""
        code = self._process.poll()
        with suppress(OSError, IndexError, ValueError):
            whole_lines = self._told.read_text(encoding="utf-8").rpartition("\n")[0]
            self._progress = float(whole_lines.split()[-1])
        if self._cancelled:
            return JobState.CANCELLED
        if code is None:
            return JobState.RUNNING
        return JobState.DONE if code == _DONE else JobState.FAILED

    def result(self) -> Tracks:
        """The tracks of a job that is done. Raises FilmError with the reason where there are none."""
        state = self.poll()
        if state is JobState.DONE:
            return load_tracks(self._found)
        if state is JobState.RUNNING:
            raise FilmError(tr("The points are still being followed."))
        if state is JobState.CANCELLED:
            raise FilmError(tr("Following the points was stopped."))
        if self._process.returncode == _FAULT:
            with suppress(OSError):
                raise FilmError(self._why.read_text(encoding="utf-8").strip())
        raise FilmError(
            tr("The points could not be followed: the work beside ended before its time. Try again.")
        )

    def cancel(self) -> None:
        """Stop it; a job that is done stays done."""
        if self._process.poll() is None:
            self._cancelled = True
            self._process.kill()

    def close(self) -> None:
        """Stop it where it runs, and give its files back. May be called twice."""
        self.cancel()
        self._process.wait()
        self._folder.cleanup()


def _follow(wish: dict[str, object]) -> int:
    """The child's work: follow, say the progress line by line, write the tracks; the exit code."""
    import cv2

    from analysis.derive.following import follow_again, follow_points
    from analysis.film import open_film
    from analysis.film.reader import ReadingStopped

    cv2.setNumThreads(1)
    rate, before, parent = wish["rate"], wish["before"], wish["parent"]
    listed, changed = wish["points"], wish["changed"]
    assert isinstance(listed, list)
    assert isinstance(changed, list)
    points = [BodyPoint(**p) for p in listed]
    direction = Direction(str(wish["direction"]))

    def orphaned() -> bool:
        return os.name == "posix" and os.getppid() != parent

    said = -1.0

    def say(share: float) -> None:
        nonlocal said
        if share - said >= 0.01 or share >= 1.0:
            said = share
            sys.stdout.write(f"{share:.4f}\n")
            sys.stdout.flush()

    try:
        rate_hz = None if rate is None else float(str(rate))
        film = open_film(str(wish["film"]), rate_hz, int(str(wish["every"])))
        if before is None:
            first, last = int(str(wish["first"])), int(str(wish["last"]))
            tracks = follow_points(film, points, first, last, direction, progress=say, stopped=orphaned)
        else:
            known = load_tracks(Path(str(before)))
            tracks = follow_again(film, known, points, changed, direction, progress=say, stopped=orphaned)
    except CinderlaneError as error:
        sys.stderr.buffer.write(str(error).encode("utf-8"))
        return _FAULT
    except ReadingStopped:
        return _GIVEN_UP
    save_tracks(tracks, Path(str(wish["found"])))
    return _DONE


def main(arguments: Sequence[str]) -> int:
    """Run as a child, at the lowest priority."""
    if hasattr(os, "nice"):
        os.nice(19)
    return _follow(json.loads(Path(arguments[0]).read_text(encoding="utf-8")))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
