"""The tables of a page: numbers as they are shown, beside the values that they show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from analysis.reading.wording import ends_in_words
from analysis.report.answer_words import QUESTION_TITLES, VERDICT_WORDS, judged_words
from analysis.report.content import (
    Block,
    Bullets,
    Fact,
    Facts,
    Heading,
    Line,
    Look,
    Number,
    Table,
    Words,
    words,
)
from analysis.report.posture_rows import QUESTIONS, PostureCells, PostureRow, Question
from analysis.report.step_columns import MEASURES
from analysis.report.words import Unit, common_digits, headed, number_text, side_word, unit_shown
from analysis.values.answers import Answer, Judged
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.posture import PostureReading
from analysis.values.reading import Reading, StepReading
from analysis.values.words import tr, tr_count

_MOST_REASONS = 3
"""So many are said; all stand in the tables."""


def step_table(reading: Reading) -> Table:
    """A line for each measure, a column for each step."""
    lines = []
    for column in MEASURES:
        results = [column.result(step) for step in reading.steps]
        keys = [f"{column.field}:{step.step}" for step in reading.steps]
        lines.append(
            Line(headed(column.name, column.unit), column.help, _numbers(keys, results, column.unit))
        )
    results = [column.result(step) for column in MEASURES for step in reading.steps]
    return Table(tr("Steps"), tuple(map(_step_words, reading.steps)), tuple(lines), _reasons(results))


def posture_blocks(reading: Reading) -> tuple[Block, ...]:
    """Posture at the events; rows and groups without any number are left out. What is read of the start alone
    stands above the steps' table.
    """
    cells = PostureCells(reading.posture)
    found: list[Block] = []
    for group in QUESTIONS:
        held = [(row, {step: cells.at(row, step) for step in cells.steps}) for row in group.rows]
        held = [(row, there) for row, there in held if any(map(_has_number, there.values()))]
        if held:
            found += [Heading(group.title, 3), Words(group.asks, Look.QUIET), *_posture_group(group, held)]
    return tuple(found)


_Held = Sequence[tuple[PostureRow, Mapping[int, PostureReading | None]]]


def _posture_group(group: Question, held: _Held) -> Iterator[Block]:
    by_step = [(row, there) for row, there in held if any(_has_number(one) for n, one in there.items() if n)]
    once = [(row, there[0]) for row, there in held if (row, there) not in by_step]
    if facts := tuple(_posture_fact(row, one) for row, one in once if one is not None):
        yield Facts(facts)
    reasons = _reasons([one.result for _, there in held for one in there.values() if one is not None])
    if not by_step:
        yield from why_missing(reasons)
        return
    steps = [n for n in by_step[0][1] if any(there[n] is not None for _, there in by_step)]
    head = tuple(tr("step {step}").format(step=n) if n else tr("start") for n in steps)
    lines = tuple(_posture_line(row, [there[n] for n in steps]) for row, there in by_step)
    yield Table(group.title, head, lines, reasons)


def answer_blocks(answer: Answer) -> tuple[Block, ...]:
    """What a run says to one question: its verdict, its sentences, what was judged and by whose bands. A
    measure without a band stands in the other tables.
    """
    title = QUESTION_TITLES[answer.question]
    look = Look.DEPARTS if answer.departures else Look.VERDICT
    sentences = tuple(one.sentence for one in answer.departures) or (answer.sentence,)
    said: Block = Bullets(sentences) if len(sentences) > 1 else Words(sentences[0])
    found: list[Block] = [Heading(title, 3), Words(VERDICT_WORDS[answer.verdict], look), said]
    if answer.beside:
        found.append(Words(answer.beside, Look.QUIET))
    compared = [*(one for one in answer.measures if one.band is not None), *answer.over_steps]
    judged = [one for one in compared if isinstance(one.result, Estimate)]
    reasons = _reasons([one.result for one in answer.measures])
    if judged:
        head = (tr("number"), tr("verdict"), tr("band"))
        lines = tuple(map(_judged_line, judged))
        found.append(Table(tr("Measures: {title}").format(title=title), head, lines, (), tr("measure")))
        sources = "; ".join(dict.fromkeys(one.source for one in judged if one.source))
        found.append(Words(sources, Look.QUIET, tr("Who set the bands:")))
    return (*found, *why_missing(reasons))


def why_missing(reasons: Sequence[str]) -> tuple[Words, ...]:
    """Why there are gaps, in a paragraph; none where there is no gap."""
    return (Words(" ".join(reasons), Look.QUIET, tr("Where there is no number:")),) if reasons else ()


def _judged_line(one: Judged) -> Line:
    step = tr("step {step}").format(step=one.step)
    name = one.name
    if one.step and step not in name:  # rhythm's names tell the two steps already
        name = tr("{name}, {step} {side}").format(name=name, step=step, side=side_word(one.side)).strip()
    band = "" if one.band is None else ends_in_words(one.band)
    number = _number(_key(one), one.result, unit_shown(one.measure), with_unit=True)
    return Line(name, "", (number, words(judged_words(one)), words(band)))


def _posture_line(row: PostureRow, there: Sequence[PostureReading | None]) -> Line:
    known = [one.result for one in there if one is not None]
    digits = common_digits(known, row.unit)
    numbers = tuple(
        Number("", "", None) if one is None else _number(_key(one), one.result, row.unit, digits)
        for one in there
    )
    return Line(row.header, row.help, numbers)


def _posture_fact(row: PostureRow, there: PostureReading) -> Fact:
    """A number of the start alone."""
    return Fact(row.name, _number(_key(there), there.result, row.unit, with_unit=True))


def _key(one: Judged | PostureReading) -> str:
    return f"{one.measure}:{one.moment.value}:{one.step}"


def _has_number(one: PostureReading | None) -> bool:
    return one is not None and isinstance(one.result, Estimate)


def _step_words(step: StepReading) -> str:
    return f"{step.step} {side_word(step.side)}"


def _numbers(keys: Sequence[str], results: Sequence[Result], unit: Unit) -> tuple[Number, ...]:
    digits = common_digits(results, unit)
    return tuple(_number(key, one, unit, digits) for key, one in zip(keys, results, strict=True))


def _number(
    key: str, result: Result, unit: Unit, digits: int | None = None, *, with_unit: bool = False
) -> Number:
    value = None if isinstance(result, NoValue) else result.value
    return Number(key, number_text(result, unit, digits, with_unit=with_unit), value)


def _reasons(results: Sequence[Result]) -> tuple[str, ...]:
    """Why there are gaps, each reason once, the first few of them."""
    found = list(dict.fromkeys(one.reason for one in results if isinstance(one, NoValue)))
    more = len(found) - _MOST_REASONS
    if more <= 0:
        return tuple(found)
    words = tr_count(
        "One more gap has a reason of its kind.", "{count} more gaps have reasons of their kind.", more
    )
    return (*found[:_MOST_REASONS], words.format(count=more))
