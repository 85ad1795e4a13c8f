"""One edit as a value: which objects, what they were, what they become."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from analysis.values.bands import BandTable
from analysis.values.camera_place import CameraPlace, FilmCamera
from analysis.values.comparison import PublishedError
from analysis.values.consent import Consent
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.drill_film import DrillFilm
from analysis.values.face_cover import FaceCover
from analysis.values.film import FilmFacts
from analysis.values.gate import GateTime
from analysis.values.narration import Narration
from analysis.values.recording import Recording
from analysis.values.run import Athlete, BodyPoint, Footfall, GroundMark, Line, Run
from analysis.values.tagging import TaggingSample


class Kind(StrEnum):
    """What sort of object an edit touches."""

    ATHLETE = "athlete"
    FILM = "film"
    RUN = "run"
    MARK = "mark"
    FOOTFALL = "footfall"
    POINT = "point"
    LINE = "line"
    CAMERA_PLACE = "camera place"
    FILM_CAMERA = "film camera"
    TAGGING = "tagging"
    DRILL = "drill"
    DAY = "day"
    BANDS = "bands"
    FACE_COVER = "face cover"
    CONSENT = "consent"
    GATE = "gate time"
    NARRATION = "narration"
    RECORDING = "recording"
    DRILL_FILM = "drill film"
    PUBLISHED_ERROR = "published error"


@dataclass(frozen=True)
class FilmEntry:
    """A film that the project knows: where it lies, and what the coach said of its capture rate.

    ``path``: absolute, or empty where there is no file. ``facts``: capture times and size as a run sheet gave
    them; they serve where the film itself can't be opened. ``every``: every picture stands so many times in
    the file and the repeats are left out, by the coach's word; 1: none is left out; None: nobody was asked.
    """

    id: str
    path: str
    fingerprint: str
    coach_rate_hz: float | None = None
    facts: FilmFacts | None = None
    every: int | None = None


Item = (
    Athlete
    | FilmEntry
    | Run
    | GroundMark
    | Footfall
    | BodyPoint
    | Line
    | CameraPlace
    | FilmCamera
    | TaggingSample
    | BandTable
    | Drill
    | DayPlan
    | FaceCover
    | Consent
    | GateTime
    | Narration
    | Recording
    | DrillFilm
    | PublishedError
)
"""Any object that an edit may add, change or remove. A RUN change holds a run without its parts."""


@dataclass(frozen=True)
class Change:
    """One object: ``old`` is None where it is new, ``new`` is None where it goes.

    ``run_id``: the run that a mark, footfall, point or line belongs to; empty for the others.
    """

    kind: Kind
    id: str
    old: Item | None
    new: Item | None
    run_id: str = ""

    @property
    def reversed(self) -> Change:
        """The change that takes this one back."""
        return Change(self.kind, self.id, self.new, self.old, self.run_id)


@dataclass(frozen=True)
class Command:
    """What one act of the coach does, in words and as changes that belong together."""

    text: str
    changes: tuple[Change, ...]

    @property
    def reversed(self) -> Command:
        """The command that undoes this one."""
        return Command(self.text, tuple(change.reversed for change in reversed(self.changes)))

    @property
    def empty(self) -> bool:
        """True where nothing would become different."""
        return all(change.old == change.new for change in self.changes)


def command(text: str, changes: Iterable[Change]) -> Command:
    """A command of those changes that change something."""
    return Command(text, tuple(c for c in changes if c.old != c.new))
