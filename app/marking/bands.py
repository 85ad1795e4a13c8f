"""Bands: from what the coach types, imports or names as good to a command. Every version is kept."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from uuid import uuid4

from analysis.jobs.export import write_whole
from analysis.sheet.band_csv import bands_from_csv, bands_to_csv
from analysis.values.bands import Band, BandGroup, BandOrigin, BandTable, revised, told_apart
from analysis.values.command import Change, Command, Kind
from analysis.values.errors import BandError
from analysis.values.measures import ASKED
from analysis.values.posture import Moment
from analysis.values.project import Project
from analysis.values.run import Run
from analysis.values.starting_bands import bands_for
from analysis.values.typed import typed_number
from analysis.values.words import tr

_NAMES = {(one.measure, one.moment): one.words for asked in ASKED.values() for one in asked}


@dataclass(frozen=True)
class InForce:
    """A band that counts for a run, and the table that it stands in."""

    band: Band
    table: BandTable


def in_force(project: Project, run: Run) -> tuple[InForce, ...]:
    """The bands that count for a run: of two for the same measure and steps the first table's."""
    tables = bands_for(run, project.athlete_of(run), project.band_tables.values())
    found: dict[tuple[str, Moment, int, int | None], InForce] = {}
    for table in tables:
        for band in table.bands:
            place = band.measure, band.moment, band.first_step, band.last_step
            found.setdefault(place, InForce(band, table))
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


def set_end(project: Project, band: Band, end: str, text: str) -> Command:
    """Another ``low`` or ``high``, in the coach's own table. Raises BandError where that can't be."""
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
    before = _own(project)
    held = () if before is None else before.bands
    bands = (*(one for one in held if not _alike(one, new)), new)
    return _keep(_next(before, bands, BandGroup()), tr("Band"))


def drop_own(project: Project, band: Band) -> Command:
    """Without the coach's own band: what counts after it counts again."""
    before = _own(project)
    if before is None:
        raise BandError(tr("This band is not one of your own."))
    return _keep(
        revised(before, [one for one in before.bands if not _alike(one, band)], uuid4().hex), tr("Band")
    )


def import_bands(project: Project, path: Path) -> Command:
    """A table of bands from a file, as the next version of the coach's own. Raises BandError."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise BandError(tr("{file} can't be read as a table.").format(file=path.name)) from error
    bands = bands_from_csv(text, path.stem)
    return _keep(_next(_own(project), bands, BandGroup()), tr("Import bands"))


def save_bands(project: Project, run: Run, path: Path) -> None:
    """The bands that count for a run as a table that can be imported again. Raises CinderlaneError."""
    tables = bands_for(run, project.athlete_of(run), project.band_tables.values())
    bands = told_apart(band for table in tables for band in table.bands)
    write_whole(path, bands_to_csv(bands).encode("utf-8"))


def _own(project: Project) -> BandTable | None:
    mine = [table for table in project.band_tables.values() if table.origin is BandOrigin.COACH]
    return max(mine, key=lambda table: table.version, default=None)


def _next(before: BandTable | None, bands: tuple[Band, ...], group: BandGroup) -> BandTable:
    if before is None:
        return BandTable(uuid4().hex, tr("Own bands"), 1, BandOrigin.COACH, bands, group)
    return revised(before, bands, uuid4().hex)


def _keep(table: BandTable, words: str) -> Command:
    return Command(words, (Change(Kind.BANDS, table.id, None, table),))


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
