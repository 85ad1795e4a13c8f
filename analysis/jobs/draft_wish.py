"""What a draft of a run's footfalls is made from, out of all that its project knows."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.values.camera import CameraPath, Lens
from analysis.values.project import Project
from analysis.values.resolving import run_as_seen
from analysis.values.run import Direction, GroundMark, Run, Side

_METHOD = "strip-7"
"""Another one with every change to what a ground strip shows or what is drafted from it."""


@dataclass(frozen=True)
class DraftWish:
    """``film``: its file, opened with ``coach_rate_hz`` and ``every``; ``fingerprint``: of it. ``marks``: the
    run's own and those of its camera place, on any frames. ``camera``: where each frame looks, None where
    that was not followed. ``direction``: None to find it. ``first_side``: the foot of the first contact.
    """

    film: Path
    fingerprint: str
    marks: tuple[GroundMark, ...] = ()
    camera: CameraPath | None = None
    lens: Lens | None = None
    direction: Direction | None = None
    first_side: Side = Side.LEFT
    coach_rate_hz: float | None = None
    every: int = 1

    @property
    def film_key(self) -> str:
        """The digest of the film as it was opened: strips with the same one show the same frames."""
        return _digest(f"{_METHOD} {self.fingerprint} {self.coach_rate_hz!r} {self.every}")

    @property
    def key(self) -> str:
        """The digest of all that a draft hangs on but direction and foot, which a finished one is told."""
        digest = hashlib.sha256(f"{self.film_key} {self.marks!r} {self.lens!r}".encode())
        if self.camera is not None:
            camera = self.camera
            digest.update(f"{camera.kind.value} {camera.reference} {camera.first}".encode())
            digest.update(np.ascontiguousarray(camera.maps).tobytes())
            digest.update(np.ascontiguousarray(camera.error_px).tobytes())
        return f"{self.film_key}-{digest.hexdigest()}"


def wish_for(project: Project, run: Run, film: Path) -> DraftWish:
    """For a run of a project, whose film lies there."""
    entry, seen = project.films[run.film_id], run_as_seen(project, run)
    on_ground = tuple(mark for mark in seen.run.marks if mark.y_m == 0.0)
    tagged = any(not footfall.draft for footfall in run.footfalls)
    front = run.start.confirmed.front_side
    return DraftWish(
        film,
        entry.fingerprint,
        on_ground if len({mark.x_m for mark in on_ground}) > 1 else (),
        seen.camera,
        seen.lens,
        run.direction if tagged else None,
        Side.LEFT if front is None else front.other,
        entry.coach_rate_hz,
        entry.every or 1,
    )


def _digest(words: str) -> str:
    return hashlib.sha256(words.encode()).hexdigest()[:24]
