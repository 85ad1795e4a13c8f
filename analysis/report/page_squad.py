"""One side of paper on a squad: who changed, who didn't, who can't be told, what is trained next."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

from analysis.plan.wording import day_words
from analysis.reading.key_names import key_name
from analysis.reading.remaining import remaining
from analysis.report.answer_words import STANDING_WORDS, departs_words
from analysis.report.content import Block, Facts, Heading, Line, Look, Number, Page, Table, Words, words
from analysis.report.page_changes import least_rests_on, least_words, result_number
from analysis.report.season import Season, Since, Standing, headline_numbers, since_last, standing, why_untold
from analysis.report.words import SECONDS, headed, unit_shown
from analysis.values.comparison import Compared, MeasureKey, way_words
from analysis.values.words import capital, one_line, tr

_MEANT = {
    Standing.CHANGED: tr("Split or speed differs by more than runs of one athlete do, both asked together."),
    Standing.HELD: tr("A change below the least one named would not show; it may be there."),
    Standing.UNTOLD: tr("Why, and the last numbers, stand beside the name."),
}
_TWO_DAYS = tr(
    "Where that rests on two days alone, nobody knows yet how much the athlete's days differ by themselves: "
    "a good or a bad day may look like a change. Runs of a third day settle it."
)
Known = tuple[Season, Since | None]
Mine = tuple[Season, Since]
Keys = tuple[MeasureKey, ...]
One = TypeVar("One")


def squad_content(seasons: Sequence[Season]) -> Page:
    """Every athlete on one side, by what can be said since the test before."""
    days = [day.day for season in seasons for day in season.days]
    when = tr("tests up to {day}").format(day=max(days)) if days else tr("no test yet")
    return Page((tr("The squad"), when), Facts(()), tuple(_blocks(seasons)), compact=True)


def coming_words(season: Season) -> str:
    """What is trained next: the question of the next planned day, else where the last test departs first."""
    plan = season.next_plan
    if plan is not None:
        return day_words(plan)
    if not season.days:
        return tr("nothing planned")
    left = remaining(season.days[-1].runs)
    return tr("not planned; departs first: {question}").format(question=departs_words(left))


def _blocks(seasons: Sequence[Season]) -> Iterator[Block]:
    known = [(season, since_last(season)) for season in sorted(seasons, key=lambda one: one.code)]
    for kind in Standing:
        mine = [(season, since) for season, since in known if standing(since) is kind]
        if mine:
            title = capital(STANDING_WORDS[kind])
            yield Heading(tr("{title} ({count})").format(title=title, count=len(mine)))
            yield Words(_MEANT[kind], Look.QUIET)
            if kind is Standing.UNTOLD:
                yield from _untold(title, mine)
            else:
                told = [(season, since) for season, since in mine if since is not None]
                yield from _compared(title, told, changed=kind is Standing.CHANGED)
                if any(since.comparison.two_days for _, since in told):
                    yield Words(_TWO_DAYS, Look.QUIET)
    yield Words(
        tr(
            "Split and speed at the farthest place that was read on both days. A reading of pictures is no "
            "diagnosis, and no ground to select, to sign, or to let anybody return to play."
        ),
        Look.QUIET,
    )


def _compared(title: str, mine: Sequence[Mine], *, changed: bool) -> Iterator[Block]:
    """A line for each athlete: the newest numbers and how they differ from the test before."""
    for keys, alike in _alike(mine, lambda one: tuple(row.key for row in one[1].headlines)):
        head = [name for key in keys for name in (_column(key), tr("change"), tr("least"))]
        head += [*([tr("verdict")] if changed else []), tr("last test"), tr("next")]
        lines = []
        for season, since in alike:
            cells = [cell for row in since.headlines for cell in _since_cells(season, since, row)]
            cells += [words(_ways(since))] if changed else []
            cells += [words(since.after.day), words(coming_words(season))]
            lines.append(Line(_name(season), "", tuple(cells)))
        yield Table(title, tuple(head), tuple(lines), (), tr("athlete"))
        yield _measured(keys, *least_rests_on([row for _, since in alike for row in since.headlines]))


def _since_cells(season: Season, since: Since, row: Compared) -> tuple[Number, ...]:
    """The newest number, how it differs from the one before, and the least change that would count."""
    sides = (("after", row.after), ("difference", row.difference))
    numbers = [result_number(row.key, one, side=side, with_unit=False) for side, one in sides]
    least = replace(row, least=since.least(row))
    return *_keyed(season, numbers), words(least_words(least, with_unit=False))


def _ways(since: Since) -> str:
    """Which way what changed went."""
    changed = ((row.key, row.change) for row in since.headlines if since.changed(row))
    return "; ".join(f"{_what(key)} {way_words(key, way)}" for key, way in changed if way is not None)


def _untold(title: str, mine: Sequence[Known]) -> Iterator[Block]:
    """A line for each athlete: the newest numbers, and why nothing is said of a change."""
    told = [(s, since, () if not s.days else headline_numbers(s.days[-1])) for s, since in mine]
    for keys, alike in _alike(told, lambda one: tuple(key for key, _ in one[2])):
        head = (tr("last test"), *map(_column, keys), tr("why"), tr("next"))
        lines = []
        for season, since, numbers in alike:
            day, why = "–", tr("No run of this athlete has a day, or none can be read.")
            if season.days:
                day, why = season.days[-1].day, why_untold(since)
            cells = _keyed(season, [result_number(*one, with_unit=False) for one in numbers])
            ends = words(why), words(coming_words(season))
            lines.append(Line(_name(season), "", (words(day), *cells, *ends)))
        yield Table(title, head, tuple(lines), (), tr("athlete"))
        yield from [_measured(keys)] if keys else []


def _alike(all_of: Sequence[One], keys_of: Callable[[One], Keys]) -> Iterator[tuple[Keys, list[One]]]:
    """Those whose numbers are of the same measures, in one table each."""
    found: dict[Keys, list[One]] = {}
    for one in all_of:
        found.setdefault(keys_of(one), []).append(one)
    yield from found.items()


def _what(key: MeasureKey) -> str:
    return tr("split") if unit_shown(key.measure) is SECONDS else tr("speed")


def _column(key: MeasureKey) -> str:
    return headed(_what(key), unit_shown(key.measure))


def _measured(keys: Keys, *more: Words) -> Words:
    """What the columns of numbers hold, and more to it."""
    said = capital("; ".join(map(key_name, keys))) + "."
    return Words(" ".join((said, *(one.text for one in more))), Look.QUIET)


def _name(season: Season) -> str:
    return one_line(season.code) or tr("no code")


def _keyed(season: Season, cells: Sequence[Number]) -> tuple[Number, ...]:
    """The keys begin with the athlete's id: numbers of several stand on the page."""
    return tuple(
        Number(f"{season.athlete_id}:{one.key}" if one.key else "", one.text, one.value) for one in cells
    )
