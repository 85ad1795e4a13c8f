"""What the athlete takes away: one page in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import takewhile

from analysis.reading.first_cause import cleared
from analysis.report.content import Block, Heading, Line, Look, Number, Page, Table, Words, plain_facts, words
from analysis.report.page_coach import earlier_day, section_blocks
from analysis.report.page_facts import conditions_facts, day_blocks
from analysis.report.season import Standing, standing
from analysis.report.sections import Section, places
from analysis.report.told import Told
from analysis.report.words import MISSING
from analysis.values.answers import FirstCause
from analysis.values.questions import Question, Verdict
from analysis.values.reading import Reading
from analysis.values.words import listed, tr

_TITLES = {
    Question.LAUNCH: tr("Your push"),
    Question.SWAP: tr("How your legs change over"),
    Question.STRIKE: tr("Your foot on the ground"),
    Question.RHYTHM: tr("Your rhythm"),
}
_VERDICTS = {
    Verdict.INSIDE: tr("as it should be"),
    Verdict.OUTSIDE: tr("here is something to work on"),
    Verdict.UNTOLD: tr("too close to call from this film"),
    Verdict.NOT_JUDGED: tr("this film can't show it"),
}
_SINCE = {
    Standing.CHANGED: tr("Something changed since your last test, beyond what differs from run to run."),
    Standing.HELD: tr("No change since your last test is larger than what differs from run to run."),
    Standing.UNTOLD: tr("Whether you changed since your last test can't be told from so few runs."),
}
_MOST_SENTENCES = 2


def athlete_content(told: Told) -> Page:
    """One page in plain words. Raises PlanError where a planned drill is not known any more."""
    facts = plain_facts(conditions_facts(told.evidence.run.conditions))
    return Page(told.heading(tr("Your run")), facts, tuple(_blocks(told)), compact=True)


def _blocks(told: Told) -> Iterator[Block]:
    cause = told.reading.first_cause
    if cause:
        yield Heading(tr("The one thing"))
        yield Words(_the_one_thing(told.reading, cause), Look.FIRST)
        if cause.coach:
            yield Words(cause.coach.reason, lead=tr("Your coach says:"))
    yield Heading(tr("Your run in four looks"))
    for answer in told.reading.questions:
        yield Heading(f"{_TITLES[answer.question]}: {_VERDICTS[answer.verdict]}", 3)
        yield from (Words(one.plain) for one in answer.departures[:_MOST_SENTENCES])
    yield Heading(tr("Your numbers"))
    yield from _numbers(places(told.reading))
    yield from _since(told)
    if told.day is not None:
        yield Heading(tr("What comes next,"), own=told.day.date)
        yield from day_blocks(told, each_caution=False)
    yield Words(
        tr(
            "± says how exactly the film shows it: the true number of this run lies that far away at most, "
            "19 times out of 20. It is about this one run, not about what you can do. The reading comes "
            "from pictures; it is no diagnosis."
        ),
        Look.QUIET,
    )


def _numbers(sections: Sequence[Section]) -> Iterator[Block]:
    """Splits and speeds, a column for each place; where a place has none, why."""
    there = [section for section in sections if section.rows]
    names = dict.fromkeys(row.name for section in there for row in section.rows)
    if there:
        lines = tuple(Line(name, "", tuple(_cell(section, name) for section in there)) for name in names)
        gaps = dict.fromkeys(row.hint for section in there for row in section.rows if row.missing)
        yield Table(tr("Your numbers"), tuple(section.title for section in there), lines, tuple(gaps))
    for section in sections:
        yield from section_blocks(section) if not section.rows else ()


def _cell(section: Section, name: str) -> Number:
    row = next((one for one in section.rows if one.name == name), None)
    return words(MISSING) if row is None else Number(row.key, row.text, row.value)


def _the_one_thing(reading: Reading, cause: FirstCause) -> str:
    """Where it began in plain words, with what makes that less sure."""
    if cause.question is None:
        return cause.sentence
    parts = [one.plain for one in cause.departures[:_MOST_SENTENCES]]
    before = takewhile(lambda answer: answer.question is not cause.question, reading.questions)
    if not all(map(cleared, before)):
        parts.append(tr("Not all that comes before it could be judged, so it may have begun there."))
    if cause.unsaid:
        facts = listed([tr(fact.value) for fact in cause.unsaid])
        words = tr("Nobody said the {facts}, so it is judged as an adult's start from a split stance.")
        parts.append(words.format(facts=facts))
    return " ".join(parts)


def _since(told: Told) -> Iterator[Block]:
    since = told.since
    if since is not None:
        yield Heading(tr("Since"), own=earlier_day(told, since))
        yield Words(_SINCE[standing(since)])
