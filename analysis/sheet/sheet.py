"""What a run sheet says, as values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from analysis.values.camera import CameraPath, Lens
from analysis.values.errors import SheetError
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber
from analysis.values.run import Athlete, Run
from analysis.values.tagging import TaggingError
from analysis.values.words import tr

FORMAT = "cinderlane run sheet"
"""What the key ``format`` says."""

VERSION = 1
"""The version of the format."""


@dataclass(frozen=True)
class PlacedFrame:
    """A frame number and where in the sheet it stands, in words."""

    place: str
    frame: int


@dataclass(frozen=True)
class Sheet:
    """A run with its film and athlete, as a sheet gave them.

    ``film_path``: absolute, or None where the sheet names no film. ``facts``: from its times, if given.
    ``whole_film``: the sheet names no stretch; without facts ``run.last_frame`` is then only the last
    frame that it mentions. ``frames``: every frame of the sheet. ``notes``: sentences for the coach.
    ``camera``, ``lens``, ``tagging``: as the evidence of a reading has them.
    """

    run: Run
    athlete: Athlete | None
    film_path: Path | None
    facts: FilmFacts | None
    whole_film: bool
    frames: tuple[PlacedFrame, ...]
    notes: tuple[str, ...]
    camera: CameraPath | None = None
    lens: Lens | None = None
    tagging: TaggingError | None = None

    def evidence(self, facts: FilmFacts) -> Evidence:
        """All that a reading of the sheet rests on, on a film of these facts."""
        return Evidence(self.run, facts, self.athlete, self.camera, self.lens, self.tagging)

    def on(self, facts: FilmFacts) -> Sheet:
        """The sheet on a film: frames held against it, and the stretch filled in where the sheet names none.

        Raises SheetError where the film does not hold a frame.
        """
        check_frames(self.frames, facts.frames)
        run = self.run
        if self.whole_film:
            run = replace(run, first_frame=FrameNumber(0), last_frame=FrameNumber(facts.frames - 1))
        return replace(self, facts=facts, run=run)


def check_frames(placed: Sequence[PlacedFrame], frames: int) -> None:
    """Raise SheetError, naming the place, where a film of that many frames does not hold a frame."""
    for item in placed:
        if item.frame >= frames:
            raise SheetError(
                tr(
                    "{place}: frame {frame} is not in the film, which has frames 0 to {last}. Mend the "
                    "number, or name the film that the sheet was made on."
                ).format(place=item.place, frame=item.frame, last=frames - 1)
            )
