"""The versions of the project's bands: when each was made, what it changed, and how one is taken back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from uuid import uuid4

from analysis.reading.wording import ends_in_words
from analysis.values.bands import Band, BandTable, revised
from analysis.values.command import Change, Command, Kind
from analysis.values.errors import BandError
from analysis.values.posture import Moment
from analysis.values.project import Project
from analysis.values.typed import now
from analysis.values.words import tr
from app.marking.bands import band_name, steps_words

_Place = tuple[str, Moment, int, int | None]
_MOST = 4
"""So many changes are told one by one."""


@dataclass(frozen=True)
class BandVersion:
    """``words``: what it changed against the version before it; ``counts``: it is the newest of its name."""

    table: BandTable
    words: str
    counts: bool


def versions_of(project: Project) -> tuple[BandVersion, ...]:
    """Every version that the project keeps: table by table, the newest of each first."""
    named: dict[str, list[BandTable]] = {}
    for table in project.band_tables.values():
        named.setdefault(table.name, []).append(table)
    found = []
    for _, several in sorted(named.items()):
        rising = sorted(several, key=lambda table: table.version)
        before = [None, *rising[:-1]]
        each = [
            BandVersion(table, change_words(earlier, table), table is rising[-1])
            for earlier, table in zip(before, rising, strict=True)
        ]
        found += each[::-1]
    return tuple(found)


def change_words(before: BandTable | None, after: BandTable) -> str:
    """What a version changed: each band with its ends before and after, of many the first few. ``before``:
    None where it is the first.
    """
    old: Mapping[_Place, Band] = {} if before is None else _by_place(before)
    new = _by_place(after)
    said = [
        words for place in {**old, **new} if (words := _change(old.get(place), new.get(place))) is not None
    ]
    if not said:
        return tr("the same bands")
    more = len(said) - _MOST
    if more > 0:
        said = [*said[:_MOST], tr("and {count} more").format(count=more)]
    return "; ".join(said)


def take_back(project: Project, table: BandTable) -> Command:
    """The bands of an earlier version count again, as the next version: none is lost. Raises BandError where
    they count already.
    """
    mates = [one for one in project.band_tables.values() if one.name == table.name]
    newest = max(mates, key=lambda one: one.version)
    if newest.id == table.id or newest.bands == table.bands:
        raise BandError(tr("These bands count already."))
    made = replace(revised(newest, table.bands, uuid4().hex, now()), runs=table.runs)
    words = tr("Bands of version {version} again").format(version=table.version)
    return Command(words, (Change(Kind.BANDS, made.id, None, made),))


def _by_place(table: BandTable) -> Mapping[_Place, Band]:
    return {(one.measure, one.moment, one.first_step, one.last_step): one for one in table.bands}


def _change(old: Band | None, new: Band | None) -> str | None:
    one = new or old
    assert one is not None
    name = f"{band_name(one)}, {steps_words(one)}"
    if old is None and new is not None:
        return tr("{name}: {ends}").format(name=name, ends=ends_in_words(new))
    if old is not None and new is None:
        return tr("{name}: taken back ({ends})").format(name=name, ends=ends_in_words(old))
    assert old is not None
    assert new is not None
    if (old.low, old.high) != (new.low, new.high):
        return tr("{name}: {old} becomes {new}").format(
            name=name, old=ends_in_words(old), new=ends_in_words(new)
        )
    if old.source != new.source or old.better != new.better:
        return tr("{name}: another source").format(name=name)
    return None
