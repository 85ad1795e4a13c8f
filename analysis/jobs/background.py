"""Following the background of a film in a process of its own, beside whatever else goes on."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from enum import StrEnum
from pathlib import Path

from analysis.values.camera import CameraPath
from analysis.values.errors import CinderlaneError, FilmError
from analysis.values.words import tr

_DONE, _FAULT, _GIVEN_UP = 0, 2, 4
_ROOT = Path(__file__).resolve().parents[2]


class JobState(StrEnum):
    """How far a job is."""

    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"


class BackgroundJob:
    """Follows one film's background at the lowest priority on one processor. Nothing here waits.

    Starts at once. Ask ``poll`` now and then; ``close`` it in the end, whatever became of it.
    ``first``, ``last``: the frames wanted, to the film's end where ``last`` is None. ``coach_rate_hz`` and
    ``every``: as the film was opened (analysis.film.open_film), so that frames have the same numbers.
    """

    def __init__(
        self,
        film: Path,
        first: int = 0,
        last: int | None = None,
        *,
        coach_rate_hz: float | None = None,
        every: int = 1,
    ) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="cinderlane-", ignore_cleanup_errors=True)
        place = Path(self._folder.name)
        self._found, self._told, self._why = place / "path.npz", place / "progress", place / "why"
        wish = {
            "film": str(film), "first": first, "last": last, "rate": coach_rate_hz, "every": every,
            "found": str(self._found), "parent": os.getpid(),
        }  # fmt: skip
        idle = getattr(subprocess, "IDLE_PRIORITY_CLASS", 0)  # Windows alone has it
        with self._told.open("wb") as told, self._why.open("wb") as why:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "analysis.jobs.background", json.dumps(wish)],
                stdin=subprocess.DEVNULL, stdout=told, stderr=why, creationflags=idle, cwd=_ROOT,
            )  # fmt: skip
        self._cancelled = False
        self._progress = 0.0
        self._path: CameraPath | None = None

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

    def result(self) -> CameraPath:
        """The path of a job that is done. Raises FilmError with the reason where there is none."""
        from analysis.background.saving import load_path

        state = self.poll()
        if state is JobState.DONE:
            self._path = self._path or load_path(self._found)
            return self._path
        raise FilmError(self._reason(state))

    def _reason(self, state: JobState) -> str:
        if state is JobState.RUNNING:
            return tr("The background is still being followed.")
        if state is JobState.CANCELLED:
            return tr("Following the background was stopped.")
        if self._process.returncode == _FAULT:
            with suppress(OSError):
                return self._why.read_text(encoding="utf-8").strip()
        return tr("The background could not be followed: the work beside ended before its time. Try again.")

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


def follow_film(wish: dict[str, object]) -> int:
    """The child's work: follow, say the progress line by line, write the path; the exit code."""
    import cv2

    from analysis.background import follow_background
    from analysis.background.saving import save_path
    from analysis.film import open_film
    from analysis.film.reader import ReadingStopped

    cv2.setNumThreads(1)
    rate, last, parent = wish["rate"], wish["last"], wish["parent"]

    def orphaned() -> bool:
        return os.name == "posix" and os.getppid() != parent

    def say(share: float) -> None:
        sys.stdout.write(f"{share:.4f}\n")
        sys.stdout.flush()

    try:
        film = open_film(
            str(wish["film"]), None if rate is None else float(str(rate)), int(str(wish["every"]))
        )
        end = film.frames - 1 if last is None else int(str(last))
        path = follow_background(film, int(str(wish["first"])), end, progress=say, stopped=orphaned)
    except CinderlaneError as error:
        sys.stderr.buffer.write(str(error).encode("utf-8"))
        return _FAULT
    except ReadingStopped:
        return _GIVEN_UP
    save_path(path, Path(str(wish["found"])))
    return _DONE


def main(arguments: Sequence[str]) -> int:
    """Run as a child, at the lowest priority."""
    if hasattr(os, "nice"):
        os.nice(19)
    return follow_film(json.loads(arguments[0]))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
