"""Long work on a film in a process of its own, at the lowest priority, beside whatever else goes on."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from abc import ABC, abstractmethod
from collections import deque
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any, Generic, TypeVar

from analysis.values.camera import CameraPath, Lens
from analysis.values.errors import CinderlaneError, FilmError
from analysis.values.film import Film

_DONE, _FAULT, _GIVEN_UP = 0, 2, 4
_ROOT = Path(__file__).resolve().parents[2]
_SAID_EVERY = 0.01
LAST = 19
"""The lowest priority there is (POSIX.1-2024, setpriority)."""

Result = TypeVar("Result")


def put_last(process: subprocess.Popen[bytes]) -> None:
    """Give a process that was just started the lowest priority, so that not even its beginning is in the way.

    On Windows that is said when it is started.
    """
    if sys.platform != "win32":
        with suppress(ProcessLookupError):
            os.setpriority(os.PRIO_PROCESS, process.pid, LAST)


class JobState(StrEnum):
    """How far a job is. ``WAITING``: another one goes on, and it comes after that."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"


@dataclass(frozen=True)
class Excuses:
    """What is said where there is no result: it still runs, it was stopped, it ended before its time."""

    running: str
    stopped: str
    ended: str


class ChildJob(ABC, Generic[Result]):
    """Work for which nothing here waits: ask ``poll`` now and then; ``close`` it in the end, whatever became
    of it. One goes on at a time, so that a processor is left for the film on show; the others wait in turn.
    Used on one thread.

    ``found``: name of the file that the child writes, in a folder of the job's own.
    """

    def __init__(self, found: str, excuses: Excuses) -> None:
        self._excuses = excuses
        self._folder = tempfile.TemporaryDirectory(prefix="cinderlane-", ignore_cleanup_errors=True)
        self._place = place = Path(self._folder.name)
        self._found, self._told, self._why = place / found, place / "progress", place / "why"
        self._cancelled = False
        self._progress = 0.0
        self._module = ""
        self._process: subprocess.Popen[bytes] | None = None

    def _start(
        self, module: str, film: Path, coach_rate_hz: float | None, every: int, **wish: object
    ) -> None:
        """Start the child, which runs ``module``, as soon as it is its turn; it ends in ``serve``.

        ``coach_rate_hz``, ``every``: as the film was opened (analysis.film.open_film), so that frames have
        the same numbers. ``wish``: what else the child needs, as JSON has it.
        """
        place = self._place
        wish |= {
            "film": str(film),
            "rate": coach_rate_hz,
            "every": every,
            "found": str(self._found),
            "parent": os.getpid(),
        }
        (place / "wish.json").write_text(json.dumps(wish), encoding="utf-8")
        self._module = module
        _line.append(self)
        _next_in_line()

    def begin(self) -> None:
        """Let the child work: the line says when."""
        idle = getattr(subprocess, "IDLE_PRIORITY_CLASS", 0)  # Windows alone has it
        with self._told.open("wb") as told, self._why.open("wb") as why:
            self._process = subprocess.Popen(
                [sys.executable, "-m", self._module, str(self._place / "wish.json")],
                stdin=subprocess.DEVNULL,
                stdout=told,
                stderr=why,
                creationflags=idle,
                cwd=_ROOT,
            )
        put_last(self._process)

    def _camera_wish(self, camera: CameraPath | None) -> str | None:
        """A camera's path as a file beside the wish, for ``Wish.camera``; where it lies."""
        if camera is None:
            return None
        from analysis.background.saving import save_path

        path = self._place / "camera.npz"
        save_path(camera, path)
        return str(path)

    @property
    def progress(self) -> float:
        """The share that is done, 0 to 1, as of the last ``poll``."""
        return self._progress

    def poll(self) -> JobState:
        """How far it is now."""
        _next_in_line()
        if self._cancelled:
            return JobState.CANCELLED
        if self._process is None:
            return JobState.WAITING
        code = self._process.poll()
        with suppress(OSError, IndexError, ValueError):
            whole_lines = self._told.read_text(encoding="utf-8").rpartition("\n")[0]
            self._progress = float(whole_lines.split()[-1])
        if code is None:
            return JobState.RUNNING
        return JobState.DONE if code == _DONE else JobState.FAILED

    def result(self) -> Result:
        """What came of a job that is done. Raises FilmError with the reason where nothing did."""
        state = self.poll()
        if state is JobState.DONE:
            return self._read(self._found)
        raise FilmError(self._reason(state))

    def cancel(self) -> None:
        """Stop it; a job that is done stays done."""
        if not self.is_over:
            self._cancelled = True
            if self._process is not None:
                self._process.kill()

    @property
    def waits(self) -> bool:
        """Whether its turn has not come yet."""
        return self._process is None and not self._cancelled

    @property
    def is_over(self) -> bool:
        """Whether nothing of it goes on or will."""
        if self._process is None:
            return self._cancelled
        return self._process.poll() is not None

    def close(self) -> None:
        """Stop it where it runs, and give its files back. May be called twice."""
        self.cancel()
        if self._process is not None:
            self._process.wait()
        self._folder.cleanup()
        _next_in_line()

    @abstractmethod
    def _read(self, found: Path) -> Result:
        """What the child wrote."""

    def _reason(self, state: JobState) -> str:
        if state in (JobState.WAITING, JobState.RUNNING):
            return self._excuses.running
        if state is JobState.CANCELLED:
            return self._excuses.stopped
        if self._process is not None and self._process.returncode == _FAULT:
            with suppress(OSError):
                return self._why.read_text(encoding="utf-8").strip()
        return self._excuses.ended


_line: deque[ChildJob[Any]] = deque()
"""Jobs in the order in which they were asked for; the first one works."""


def _next_in_line() -> None:
    while _line and _line[0].is_over:
        _line.popleft()
    if _line and _line[0].waits:
        _line[0].begin()


def lens_wish(lens: Lens | None) -> dict[str, Any] | None:
    """A lens as JSON has it, for ``Wish.lens``."""
    return None if lens is None else asdict(lens)


class Wish:
    """In the child: what it was asked for. ``what``: the wish, as JSON has it."""

    def __init__(self, what: Mapping[str, Any]) -> None:
        self.what = what
        self._said = -1.0

    @property
    def found(self) -> Path:
        """Where the result is to be written."""
        return Path(self.what["found"])

    def film(self) -> Film:
        """The film, opened as the window has it. Raises FilmError or MissingFilmError."""
        from analysis.film import open_film

        return open_film(self.what["film"], self.what["rate"], self.what["every"])

    def lens(self) -> Lens | None:
        """The film's lens, where one was given (``lens_wish``)."""
        held = self.what.get("lens")
        return None if held is None else Lens(**(held | {"centre": tuple(held["centre"])}))

    def camera(self) -> CameraPath | None:
        """Where each frame looks, where that was given (``ChildJob._camera_wish``)."""
        held = self.what.get("camera")
        if held is None:
            return None
        from analysis.background.saving import load_path

        return load_path(Path(held))

    def orphaned(self) -> bool:
        """Whether nobody waits for the result any more."""
        return os.name == "posix" and os.getppid() != self.what["parent"]

    def say(self, share: float) -> None:
        """Tell how much is done, 0 to 1."""
        if share - self._said >= _SAID_EVERY or share >= 1.0:
            self._said = share
            sys.stdout.write(f"{share:.4f}\n")
            sys.stdout.flush()


def serve(arguments: Sequence[str], work: Callable[[Wish], None]) -> int:
    """In the child: do the work on one processor and say how it ended; the exit code."""
    import cv2

    from analysis.film.reader import ReadingStopped

    cv2.setNumThreads(1)
    try:
        work(Wish(json.loads(Path(arguments[0]).read_text(encoding="utf-8"))))
    except CinderlaneError as error:
        sys.stderr.buffer.write(str(error).encode("utf-8"))
        return _FAULT
    except ReadingStopped:
        return _GIVEN_UP
    return _DONE
