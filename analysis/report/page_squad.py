"""One side of paper on a squad: who changed, who didn't, who can't be told, what is trained next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from analysis.plan.wording import QUESTION_WORDS, day_words
from analysis.reading.key_names import key_name
from analysis.report.answer_words import STANDING_WORDS
from analysis.report.content import Block, Facts, Heading, Line, Look, Number, Page, Table, Words, words
from analysis.report.page_changes import change_cells, result_number
from analysis.report.season import Season, Since, Standing, headline_numbers, since_last, standing, why_untold
from analysis.values.words import capital, tr

_MEANT = {
    Standing.CHANGED: tr("Split or speed differs by more than runs of one athlete do."),
    Standing.HELD: tr("A change below the least one named would not show; it may be there."),
    Standing.UNTOLD: tr("Why, and the last numbers, stand beside the name."),
}
Known = tuple[Season, Since | None]


def squad_content(seasons: Sequence[Season]) -> Page:
    """Every athlete on one side, by what can be said since the test before."""
    days = [day.day for season in seasons for day in season.days]
    when = tr("tests up to {day}").format(day=max(days)) if days else tr("no test yet")
    return Page((tr("The squad"), when), Facts(()), tuple(_blocks(seasons)), compact=True)


def coming_words(season: Season) -> str:
    """What is trained next: the question of the next planned day, else where the last run began to depart."""
    plan = season.next_plan
    if plan is not None:
        return day_words(plan)
    cause = season.days[-1].runs[-1].first_cause if season.days else None
    if cause is None or cause.question is None:
        return tr("nothing planned")
    return tr("not planned; departs first: {question}").format(question=QUESTION_WORDS[cause.question])


def _blocks(seasons: Sequence[Season]) -> Iterator[Block]:
    known = [(season, since_last(season)) for season in sorted(seasons, key=lambda one: one.code)]
    for kind in Standing:
        mine = [(season, since) for season, since in known if standing(since) is kind]
        if mine:
            title = capital(STANDING_WORDS[kind])
            yield Heading(tr("{title} ({count})").format(title=title, count=len(mine)))
            yield Words(_MEANT[kind], Look.QUIET)
            yield _untold(mine) if kind is Standing.UNTOLD else _compared(title, mine)
    yield Words(
        tr(
            "Split and speed at the farthest place that was read on both days. A reading of pictures is no "
            "diagnosis, and no ground to select, to sign, or to let anybody return to play."
        ),
        Look.QUIET,
    )


def _compared(title: str, mine: Sequence[Known]) -> Table:
    head = (
        *(tr("measure"), tr("before"), tr("after"), tr("difference"), tr("verdict")),
        *(tr("least change"), tr("last test"), tr("next")),
    )
    lines = []
    for season, since in mine:
        assert since is not None, "without a test before nothing can be told"
        for place, row in enumerate(since.headlines):
            first = place == 0
            day, coming = (since.after.day, coming_words(season)) if first else ("", "")
            cells = (words(capital(key_name(row.key))), *_keyed(season, change_cells(row)))
            lines.append(Line(_name(season) if first else "", "", (*cells, words(day), words(coming))))
    return Table(title, head, tuple(lines), (), tr("athlete"))


def _untold(mine: Sequence[Known]) -> Table:
    head = (tr("last test"), tr("split"), tr("speed"), tr("why"), tr("next"))
    lines = []
    for season, since in mine:
        last = season.days[-1] if season.days else None
        numbers = [] if last is None else [result_number(*one) for one in headline_numbers(last)]
        cells = [*_keyed(season, numbers), words("–"), words("–")][:2]
        why = why_untold(since) if last else tr("No run of this athlete has a day, or none can be read.")
        ends = words(why), words(coming_words(season))
        lines.append(Line(_name(season), "", (words(last.day if last else "–"), *cells, *ends)))
    return Table(capital(STANDING_WORDS[Standing.UNTOLD]), head, tuple(lines), (), tr("athlete"))


def _name(season: Season) -> str:
    return season.code or tr("no code")


def _keyed(season: Season, cells: Sequence[Number]) -> tuple[Number, ...]:
    """The keys begin with the athlete's id: numbers of several stand on the page."""
    return tuple(
        Number(f"{season.athlete_id}:{one.key}" if one.key else "", one.text, one.value) for one in cells
    )
