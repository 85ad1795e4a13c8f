"""A run as one frame of its film shows it: marks follow a camera that turned, a place lends its own."""

from __future__ import annotations

from dataclasses import dataclass, replace

from analysis.report.marks import Floats, Frames, on_frame, seen_on_frame, turns
from analysis.values.camera import CameraPath, Lens
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts
from analysis.values.project import Project
from analysis.values.resolving import run_as_seen
from analysis.values.run import GroundMark, Run

DEFAULT_SIZE = (1280, 720)
"""Of a picture of which nothing is known; it counts only where a path does, and then the film is known."""


@dataclass(frozen=True)
class MarksSeen:
    """What decides where marks lie on a frame. ``lent``: marks of the camera place, on the run's film.

    ``size``: width and height of the picture, px.
    """

    path: CameraPath | None = None
    lens: Lens | None = None
    size: tuple[int, int] = DEFAULT_SIZE
    lent: tuple[GroundMark, ...] = ()

    @property
    def turns(self) -> bool:
        """Whether the same mark lies elsewhere on every frame."""
        return turns(self.path)

    def on(self, run: Run, frame: int) -> Run:
        """The run with its own marks where this frame shows them."""
        return on_frame(run, self.path, self.lens, self.size, frame)

    def places_on(self, frame: int, frames: Frames, pixels: Floats) -> Floats:
        """Where this frame shows places seen on other frames, px, (n, 2); NaN where it can't be told."""
        return seen_on_frame(self.path, self.lens, self.size, frame, frames, pixels)

    def lent_on(self, run: Run, frame: int) -> tuple[GroundMark, ...]:
        """The camera place's marks where this frame shows them."""
        if not self.lent:
            return ()
        return self.on(replace(run, marks=self.lent, camera_place_id=None), frame).marks


def picture_size(facts: FilmFacts | None) -> tuple[int, int] | None:
    """Width and height of a film's pictures, where they are known."""
    return None if facts is None else (facts.width, facts.height)


def marks_seen(project: Project, run: Run, size: tuple[int, int] | None) -> MarksSeen:
    """What the project knows of where the marks of a run lie."""
    seen = run_as_seen(project, run)
    return MarksSeen(seen.camera, seen.lens, size or DEFAULT_SIZE, _lent(run, seen.run))


def marks_in(evidence: Evidence, run: Run) -> MarksSeen:
    """The same from what the reading of the run rests on."""
    film = evidence.film
    return MarksSeen(evidence.camera, evidence.lens, (film.width, film.height), _lent(run, evidence.run))


def _lent(run: Run, seen: Run) -> tuple[GroundMark, ...]:
    """The marks that serve a run and are not its own."""
    own = {mark.id for mark in run.marks}
    return tuple(mark for mark in seen.marks if mark.id not in own)
