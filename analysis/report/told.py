"""What a page about one run is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from analysis.report.season import Since, since_before
from analysis.values.comparison import PublishedError
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.finding import Finding
from analysis.values.project import Project
from analysis.values.reading import Reading


@dataclass(frozen=True)
class Tile:
    """A frame of the posture strip as JPEG, with what stands over it and the angles read there."""

    jpeg: bytes
    title: str
    angles: tuple[str, ...]


@dataclass(frozen=True)
class Told:
    """A run, its reading and what stands beside it.

    ``film``: None where only its times are known. ``film_notes``: sentences about the film. ``day``: the last
    one planned for the athlete. ``drills``: by id, the coach's own too. ``tiles``: in order of time;
    ``no_tiles`` says why there is none, or which are missing. ``others``: the athlete's other runs.
    ``may_share``: whether consent to share stands. ``findings``: by the check of the film, none where it was
    not checked. ``published``: typical errors from elsewhere, by measure.
    """

    evidence: Evidence
    reading: Reading
    film: Film | None = None
    film_notes: tuple[str, ...] = ()
    day: DayPlan | None = None
    drills: Mapping[str, Drill] = field(default_factory=dict)
    tiles: tuple[Tile, ...] = ()
    no_tiles: str = ""
    others: tuple[Reading, ...] = ()
    may_share: bool = False
    findings: tuple[Finding, ...] = ()
    published: Mapping[str, PublishedError] = field(default_factory=dict)

    @property
    def since(self) -> Since | None:
        """The run's day against the athlete's latest day before it; see ``since_before``."""
        return since_before(self.others, self.reading, self.evidence.bands or (), self.published)


def last_day(project: Project, athlete_id: str | None) -> DayPlan | None:
    """The latest planned day of an athlete; None where there is none."""
    days = [day for day in project.days.values() if athlete_id in day.athlete_ids]
    return max(days, key=lambda day: (day.date, day.id), default=None)
