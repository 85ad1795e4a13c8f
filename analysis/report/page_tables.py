"""The tables of a page: numbers as they are shown, beside the values that they show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analysis.reading.wording import band_in_words
from analysis.report.answer_words import QUESTION_TITLES, VERDICT_WORDS
from analysis.report.posture_rows import QUESTIONS, PostureCells, PostureRow
from analysis.report.step_columns import MEASURES
from analysis.report.words import Unit, common_digits, headed, number_text, side_word, unit_shown
from analysis.values.answers import Answer, Judged
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.posture import PostureReading
from analysis.values.reading import Reading, StepReading
from analysis.values.words import tr


@dataclass(frozen=True)
class Number:
    """A number in a table. ``key``: which one; ``value``: in the reading's unit; None where there is none."""

    key: str
    text: str
    value: float | None


@dataclass(frozen=True)
class Line:
    """A row: what it is called, its definition in a sentence, its numbers."""

    name: str
    help: str
    numbers: tuple[Number, ...]


@dataclass(frozen=True)
class Table:
    """A table; ``asks``: what it answers. ``head``: over the numbers."""

    title: str
    asks: str
    head: tuple[str, ...]
    lines: tuple[Line, ...]
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True)
class JudgedLine:
    """A measure of a question: where, its number, its band, what it comes to."""

    name: str
    place: str
    number: Number
    band: str
    verdict: str


@dataclass(frozen=True)
class AnswerShown:
    """One question: its verdict, its sentences, what was judged, who set its bands, why there are gaps."""

    title: str
    verdict: str
    departs: bool
    sentences: tuple[str, ...]
    lines: tuple[JudgedLine, ...]
    sources: tuple[str, ...]
    reasons: tuple[str, ...]


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
    return Table(tr("Steps"), "", tuple(map(_step_words, reading.steps)), tuple(lines), _reasons(results))


def posture_tables(reading: Reading) -> tuple[Table, ...]:
    """Posture at the events; rows and groups without any number are left out."""
    cells = PostureCells(reading.posture)
    head = tuple(tr("step {step}").format(step=n) if n else tr("start") for n in cells.steps)
    found = []
    for group in QUESTIONS:
        shown = [(row, [cells.at(row, step) for step in cells.steps]) for row in group.rows]
        lines = tuple(_posture_line(row, there) for row, there in shown if any(map(_has_number, there)))
        reasons = _reasons([one.result for _, there in shown for one in there if one is not None])
        if lines:
            found.append(Table(group.title, group.asks, head, lines, reasons))
    return tuple(found)


def answer_shown(answer: Answer) -> AnswerShown:
    """What a run says to one question; a measure without a band stands in the other tables."""
    judged = [one for one in answer.measures if one.band is not None and isinstance(one.result, Estimate)]
    return AnswerShown(
        QUESTION_TITLES[answer.question],
        VERDICT_WORDS[answer.verdict],
        bool(answer.departures),
        tuple(one.sentence for one in answer.departures) or (answer.sentence,),
        tuple(map(_judged_line, judged)),
        tuple(dict.fromkeys(one.source for one in judged)),
        _reasons([one.result for one in answer.measures]),
    )


def _judged_line(one: Judged) -> JudgedLine:
    step = tr("step {step} {side}").format(step=one.step, side=side_word(one.side)).strip()
    place = step if one.step else tr("start")
    band = "" if one.band is None else band_in_words(one.band)
    number = _number(_key(one), one.result, unit_shown(one.measure), with_unit=True)
    return JudgedLine(one.name, place, number, band, VERDICT_WORDS[one.verdict])


def _posture_line(row: PostureRow, there: Sequence[PostureReading | None]) -> Line:
    known = [one.result for one in there if one is not None]
    digits = common_digits(known, row.unit)
    numbers = tuple(
        Number("", "", None) if one is None else _number(_key(one), one.result, row.unit, digits)
        for one in there
    )
    return Line(row.header, row.help, numbers)


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
    """Why there are gaps, each reason once."""
    return tuple(dict.fromkeys(one.reason for one in results if isinstance(one, NoValue)))
