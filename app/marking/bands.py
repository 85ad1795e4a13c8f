"""Bands: from what the coach types, imports or names as good to a command. Every version is kept."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any
from uuid import uuid4

from analysis.jobs.export import write_whole
from analysis.report.page_facts import STANCE_WORDS
from analysis.sheet.band_csv import bands_from_csv, bands_to_csv
from analysis.values.bands import (
    Band,
    BandGroup,
    BandOrigin,
    BandTable,
    counting,
    group_of,
    revised,
    told_apart,
)
from analysis.values.command import Change, Command, Kind
from analysis.values.errors import BandError
from analysis.values.measures import ASKED
from analysis.values.posture import Moment
from analysis.values.project import Project
from analysis.values.run import Athlete, Run
from analysis.values.starting_bands import bands_for, starting_bands
from analysis.values.typed import now, typed_number
from analysis.values.words import tr

EVERYONE = BandGroup()

_NAMES = {(one.measure, one.moment): one.words for asked in ASKED.values() for one in asked}


@dataclass(frozen=True)
class InForce:
    """A band that counts for a run, and the table that it stands in; None: none counts for that measure, and
    the band is open at both ends, to be typed.
    """

    band: Band
    table: BandTable | None


def in_force(project: Project, run: Run) -> tuple[InForce, ...]:
    """The bands that count for a run: of two for the same measure and steps the first table's. Measures that
    have none come with an open one.
    """
    tables = bands_for(run, project.athlete_of(run), project.band_tables.values())
    found: dict[tuple[str, Moment, int, int | None], InForce] = {}
    for table in tables:
        for band in table.bands:
            place = band.measure, band.moment, band.first_step, band.last_step
            found.setdefault(place, InForce(band, table))
    for measure, moment in _NAMES.keys() - {place[:2] for place in found}:
        step = 0 if moment in (Moment.SET, Moment.PUSH) else 1
        without = Band(measure, moment, step, 0 if step == 0 else None, None, None, "")
        found[measure, moment, step, without.last_step] = InForce(without, None)
    order = list(_NAMES)
    return tuple(
        sorted(
            found.values(),
            key=lambda one: (order.index((one.band.measure, one.band.moment)), one.band.first_step),
        )
    )


def band_name(band: Band) -> str:
    """What a band's measure is called."""
    return tr(_NAMES[band.measure, band.moment])


def steps_words(band: Band) -> str:
    """For which steps a band is."""
    if band.first_step == 0:
        return tr("start push")
    if band.last_step is None:
        return tr("step {first} on").format(first=band.first_step)
    if band.last_step == band.first_step:
        return tr("step {first}").format(first=band.first_step)
    return tr("steps {first} to {last}").format(first=band.first_step, last=band.last_step)


def groups_of(run: Run, athlete: Athlete | None) -> tuple[BandGroup, ...]:
    """For whom a band that is typed at a run can be: everyone, each fact that is known of it, all of them."""
    known = group_of(run, athlete)
    facts = {f.name: getattr(known, f.name) for f in fields(known) if getattr(known, f.name) is not None}
    each = [BandGroup(**{name: fact}) for name, fact in facts.items()]
    return tuple(dict.fromkeys((BandGroup(), *each, known)))


def group_words(group: BandGroup) -> str:
    """A group in a few words."""
    stance = None if group.stance is None else STANCE_WORDS[group.stance]
    age = None if group.age is None else tr(group.age.value)
    sex = None if group.sex is None else tr(group.sex)
    return ", ".join(part for part in (sex, group.sport, age, stance) if part) or tr("everyone")


def set_end(project: Project, band: Band, end: str, text: str, group: BandGroup = EVERYONE) -> Command:
    """Another ``low`` or ``high``, in the coach's own table for a group. Raises BandError where that can't
    be.
    """
    told: dict[str, Any] = {end: _number(text)}
    new = replace(band, source=tr("the coach"), **told)
    if new.low is None and new.high is None:
        raise BandError(tr("A band needs one end at least."))
    if new.low is not None and new.high is not None and new.low > new.high:
        raise BandError(
            tr("A band goes from less to more: {low:g} to {high:g} does not.").format(
                low=new.low, high=new.high
            )
        )
    before = _own(project, group)
    held = () if before is None else before.bands
    bands = (*(one for one in held if not _alike(one, new)), new)
    return _keep(tr("Band"), _next(before, bands, group))


def drop_own(project: Project, band: Band, group: BandGroup = EVERYONE) -> Command:
    """Without the coach's own band for a group: what counts after it counts again."""
    before = _own(project, group)
    if before is None:
        raise BandError(tr("This band is not one of your own."))
    left = [one for one in before.bands if not _alike(one, band)]
    return _keep(tr("Band"), revised(before, left, uuid4().hex, now()))


def import_bands(project: Project, path: Path) -> Command:
    """A table of bands from a file, as the next version of the coach's own for each group that it names with
    bands that are others than now. Raises BandError, also where there is none.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise BandError(tr("{file} can't be read as a table.").format(file=path.name)) from error
    groups = bands_from_csv(text, path.stem, (*project.band_tables.values(), starting_bands()))
    own = {group: _own(project, group) for group in groups}
    new = [group for group, bands in groups.items() if not _same(own[group], bands)]
    if not new:
        raise BandError(
            tr("Every band of {file} is here already. Nothing was changed.").format(file=path.name)
        )
    return _keep(tr("Import bands"), *(_next(own[group], groups[group], group) for group in new))


def save_bands(project: Project, run: Run, path: Path) -> None:
    """The bands that count for a run, with for whom and where from, as a table that can be imported again,
    which changes nothing. Raises CinderlaneError.
    """
    tables = bands_for(run, project.athlete_of(run), project.band_tables.values())
    write_whole(path, bands_to_csv(counting(tables)).encode("utf-8"))


def _same(table: BandTable | None, bands: tuple[Band, ...]) -> bool:
    """Whether a table says these bands already."""
    return table is not None and set(told_apart(table.bands)) == set(bands)


def _own(project: Project, group: BandGroup) -> BandTable | None:
    tables = project.band_tables.values()
    mine = [table for table in tables if table.origin is BandOrigin.COACH and table.group == group]
    return max(mine, key=lambda table: table.version, default=None)


def _next(before: BandTable | None, bands: tuple[Band, ...], group: BandGroup) -> BandTable:
    if before is None:
        whose = "" if group == EVERYONE else f": {group_words(group)}"
        made = BandTable(uuid4().hex, tr("Own bands") + whose, 1, BandOrigin.COACH, bands, group)
        return replace(made, made_at=now())
    return revised(before, bands, uuid4().hex, now())


def _keep(words: str, *tables: BandTable) -> Command:
    return Command(words, tuple(Change(Kind.BANDS, table.id, None, table) for table in tables))


def _alike(one: Band, other: Band) -> bool:
    return (one.measure, one.moment, one.first_step, one.last_step) == (
        other.measure,
        other.moment,
        other.first_step,
        other.last_step,
    )


def _number(text: str) -> float | None:
    if not text.strip():
        return None
    number = typed_number(text)
    if math.isnan(number):
        raise BandError(tr("{text} is no number. Leave it empty where the band is open.").format(text=text))
    return number
