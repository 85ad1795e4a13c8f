"""What a page about one run is made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from analysis.plan.coming import next_plan
from analysis.report.season import Since, since_before
from analysis.values.comparison import PublishedError
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.finding import Finding
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

    ``film``: None where only its times are known. ``film_notes``: sentences about the film. ``day``: planned
    for the athlete next. ``drills``: by id, the coach's own too. ``tiles``: in order of time;
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

    def heading(self, otherwise: str) -> tuple[str, ...]:
        """Who and which run, as far as they are named; ``otherwise`` where neither is."""
        run, athlete = self.evidence.run, self.evidence.athlete
        return tuple(filter(None, (athlete.code if athlete else "", run.name))) or (otherwise,)

    @property
    def since(self) -> Since | None:
        """The run's day against the athlete's latest day before it; see ``since_before``."""
        return since_before(self.others, self.reading, self.evidence.bands or (), self.published)


def plan_after(plans: Sequence[DayPlan], day: str) -> DayPlan | None:
    """What an athlete's ``plans`` hold next after a run of that day; the latest where the run has no day."""
    if day:
        return next_plan(plans, day)
    return max(plans, key=lambda plan: (plan.date, plan.id), default=None)


def without_names(told: Told) -> Told:
    """The same for anybody: without the names of athlete and run, and without words that the coach wrote.

    What the film and the project say to the coach is left out too: it names files.
    """
    evidence, reading = told.evidence, told.reading
    run, athlete = evidence.run, evidence.athlete
    plain = replace(run.conditions, surface="", shoe="", cue="")
    nameless = None if athlete is None else replace(athlete, code="")
    bare = replace(evidence, run=replace(run, name="", notes="", conditions=plain), athlete=nameless)
    others = tuple(map(_unsaid, told.others))
    return replace(
        told, evidence=bare, reading=_unsaid(reading), film_notes=(), day=None, others=others, may_share=True
    )


def _unsaid(reading: Reading) -> Reading:
    """Without the coach's own word on where it began."""
    cause = reading.first_cause
    return reading if cause is None else replace(reading, first_cause=replace(cause, coach=None))
