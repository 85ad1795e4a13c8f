"""What a page about one run is made of."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from analysis.plan.coming import next_plan
from analysis.report.season import Since, since_before
from analysis.values.answers import Judged
from analysis.values.bands import BandOrigin
from analysis.values.comparison import PublishedError
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.finding import Finding
from analysis.values.reading import Reading
from analysis.values.words import one_line, tr


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
    not checked. ``published``: typical errors from elsewhere, by measure. ``public``: for anybody, so that no
    day is said.
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
    public: bool = False

    def heading(self, otherwise: str) -> tuple[str, ...]:
        """Who and which run, as far as they are named; ``otherwise`` where neither is."""
        run, athlete = self.evidence.run, self.evidence.athlete
        return tuple(filter(None, map(one_line, (athlete.code if athlete else "", run.name)))) or (otherwise,)

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
    """The same for anybody: without the names of athlete and run, without what is known of the athlete's
    body, without days, and without words that the coach wrote.

    What the film and the project say to the coach is left out too: it names files.
    """
    run = told.evidence.run
    plain = replace(run.conditions, day="", surface="", shoe="", cue="")
    bare = replace(run, name="", notes="", conditions=plain)
    evidence = replace(told.evidence, run=bare, athlete=None)
    own = {
        band.source
        for table in told.evidence.bands or ()
        if table.origin is BandOrigin.COACH
        for band in table.bands
    }
    published = {key: replace(one, source=tr("the coach")) for key, one in told.published.items()}
    return replace(
        told,
        evidence=evidence,
        reading=_unsaid(told.reading, own),
        film_notes=(),
        day=None,
        others=tuple(_unsaid(one, own) for one in told.others),
        may_share=True,
        published=published,
        public=True,
    )


def _unsaid(reading: Reading, own: Collection[str]) -> Reading:
    """Without the coach's own word on where it began, and without the ``own`` words on who set a band."""
    cause = reading.first_cause
    silent = None if cause is None else replace(cause, coach=None)
    answers = tuple(
        replace(answer, measures=tuple(_sourced(one, own) for one in answer.measures))
        for answer in reading.questions
    )
    return replace(reading, first_cause=silent, questions=answers)


def _sourced(one: Judged, own: Collection[str]) -> Judged:
    return one._replace(source=tr("the coach")) if one.source in own else one
