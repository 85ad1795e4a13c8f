"""Target bands: from where to where a measure should lie, for whom, and who says so."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from analysis.values.conditions import AgeGroup, Stance
from analysis.values.posture import Moment
from analysis.values.run import Athlete, Run


class Better(StrEnum):
    """Which way a measure should go, where a band says so."""

    HIGHER = "higher"
    LOWER = "lower"


class BandOrigin(StrEnum):
    """Where a table of bands comes from; the first that has a band for a measure counts."""

    COACH = "coach"
    OWN_PATTERN = "own pattern"
    STARTING = "starting"


@dataclass(frozen=True)
class Band:
    """From ``low`` to ``high``, both included, in the measure's own unit; None where that end is open.

    ``measure``: its name with its unit, as docs/measures.md lists them; ``moment``: when in its step it is
    read. Holds from ``first_step`` to ``last_step`` (None: to the last one); 0 is the start push.
    ``source``: who says so, in words.
    """

    measure: str
    moment: Moment
    first_step: int
    last_step: int | None
    low: float | None
    high: float | None
    source: str
    better: Better | None = None

    def holds(self, measure: str, moment: Moment, step: int) -> bool:
        """Whether it is for this measure of this step."""
        return self.measure == measure and self.moment is moment and self.holds_step(step)

    def holds_step(self, step: int) -> bool:
        """Whether it is for this step, of the measure that it is for."""
        return self.first_step <= step and (self.last_step is None or step <= self.last_step)

    def beyond(self, value: float) -> float:
        """How far a value lies above the band (positive) or below it (negative); 0 inside."""
        if self.high is not None and value > self.high:
            return value - self.high
        return value - self.low if self.low is not None and value < self.low else 0.0


@dataclass(frozen=True)
class BandGroup:
    """For whom bands are; None: for everyone."""

    sex: str | None = None
    sport: str | None = None
    age: AgeGroup | None = None
    stance: Stance | None = None

    @property
    def asks(self) -> int:
        """How many facts it asks for."""
        return sum(fact is not None for fact in self._facts)

    def fits(self, known: BandGroup) -> bool:
        """Whether all that it asks for is known of a run."""
        return all(asked in (None, here) for asked, here in self._beside(known))

    def contradicts(self, known: BandGroup) -> bool:
        """Whether something else is known of a run than what it asks for."""
        return any(None not in (asked, here) and asked != here for asked, here in self._beside(known))

    def _beside(self, known: BandGroup) -> list[tuple[object, object]]:
        return list(zip(self._facts, known._facts, strict=True))

    @property
    def _facts(self) -> tuple[object, ...]:
        return self.sex, self.sport, self.age, self.stance


@dataclass(frozen=True)
class BandTable:
    """Bands that belong together. An edit makes a new one of the next ``version`` and keeps the old.

    ``athlete_id``: whose own pattern it is, None for everyone of the group. ``runs``: how many runs an own
    pattern rests on. ``made_at``: day and time on the clock there, ISO 8601 to the minute; empty where nobody
    knows.
    """

    id: str
    name: str
    version: int
    origin: BandOrigin
    bands: tuple[Band, ...]
    group: BandGroup = BandGroup()
    athlete_id: str | None = None
    runs: int = 0
    made_at: str = ""


@dataclass(frozen=True)
class Judging:
    """The band that counts for a measure, and the table that it stands in."""

    band: Band
    table: BandTable


def group_of(run: Run, athlete: Athlete | None) -> BandGroup:
    """What is known of a run and its athlete."""
    stance = run.conditions.stance
    if athlete is None:
        return BandGroup(stance=stance)
    return BandGroup(athlete.sex, athlete.sport, athlete.age, stance)


def applying(tables: Iterable[BandTable], run: Run, athlete: Athlete | None) -> tuple[BandTable, ...]:
    """The tables that count for a run, the one that counts first before the others.

    The coach's own, then an own pattern, then the starting bands; of each the newest version of a name;
    the athlete's own before that of all, one for a narrower group before one for a wider. A table counts
    where its group is known to fit; starting bands count where nothing is known against them.
    """
    known = group_of(run, athlete)
    newest: dict[str, BandTable] = {}
    for table in sorted(tables, key=lambda t: t.version):
        newest[table.name] = table
    mine = [t for t in newest.values() if t.athlete_id in (None, run.athlete_id) and _counts(t, known)]
    order = list(BandOrigin)
    return tuple(
        sorted(mine, key=lambda t: (order.index(t.origin), t.athlete_id is None, -t.group.asks, t.name))
    )


def _counts(table: BandTable, known: BandGroup) -> bool:
    if table.origin is BandOrigin.STARTING:
        return not table.group.contradicts(known)
    return table.group.fits(known)


def judging(tables: Sequence[BandTable], measure: str, moment: Moment, step: int) -> Judging | None:
    """The band that counts for a measure of a step, from the first table that has one."""
    return Judges(tables).of(measure, moment, step)


class Judges:
    """The bands of several tables, quick to be asked for many measures; see ``judging``."""

    def __init__(self, tables: Sequence[BandTable]) -> None:
        self._of: dict[tuple[str, Moment], list[Judging]] = {}
        for table in tables:
            for band in table.bands:
                self._of.setdefault((band.measure, band.moment), []).append(Judging(band, table))

    def of(self, measure: str, moment: Moment, step: int) -> Judging | None:
        """The band that counts for a measure of a step."""
        for one in self._of.get((measure, moment), ()):
            if one.band.holds_step(step):
                return one
        return None


def told_apart(bands: Iterable[Band]) -> tuple[Band, ...]:
    """The same bands with no two of a measure for one step: as in ``judging``, the first keeps the step.

    A band that loses steps in its middle becomes two; one that loses all is left out.
    """
    kept: list[Band] = []
    for band in bands:
        left = [band]
        for before in kept:
            if (before.measure, before.moment) == (band.measure, band.moment):
                left = [piece for one in left for piece in _without(one, before.first_step, before.last_step)]
        kept += left
    return tuple(kept)


def counting(tables: Iterable[BandTable]) -> tuple[BandTable, ...]:
    """Tables, the one that counts first before the others, each with the bands that no earlier one takes the
    place of; the coach's own are whole, for what is for fewer runs takes nothing from what is for more.
    """
    found: list[BandTable] = []
    taken: tuple[Band, ...] = ()
    for table in tables:
        own = told_apart(table.bands)
        after = told_apart((*taken, *own))
        whole = table.origin is BandOrigin.COACH
        found.append(replace(table, bands=own if whole else after[len(taken) :]))
        taken = after
    return tuple(found)


def _without(band: Band, first: int, last: int | None) -> Iterator[Band]:
    """What is left of a band beside the steps from ``first`` to ``last``."""
    end = band.last_step
    if band.first_step < first:
        yield replace(band, last_step=first - 1 if end is None else min(end, first - 1))
    if last is not None and (end is None or end > last):
        yield replace(band, first_step=max(band.first_step, last + 1))


def revised(table: BandTable, bands: Sequence[Band], new_id: str, made_at: str) -> BandTable:
    """The next version of a table, with other bands."""
    return replace(table, id=new_id, version=table.version + 1, bands=tuple(bands), made_at=made_at)
