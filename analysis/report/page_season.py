"""A season of one athlete: tests, changes, days planned, what remains."""

from __future__ import annotations

from collections.abc import Iterator

from analysis.plan.library import drill_of
from analysis.plan.wording import BLOCK_WORDS, aim_words, done_words, planned_words
from analysis.reading.gates import gate_days, gate_history
from analysis.reading.history import history
from analysis.reading.key_names import key_name
from analysis.reading.remaining import remaining
from analysis.report.answer_words import departs_words
from analysis.report.content import (
    Block,
    Bullets,
    Charts,
    Heading,
    Line,
    Look,
    Number,
    Page,
    Table,
    Words,
    plain_facts,
    words,
)
from analysis.report.history_charts import history_drawing
from analysis.report.page_changes import change_table, result_number, verdict_words
from analysis.report.page_squad import coming_words
from analysis.report.season import Season, Since, headline_numbers
from analysis.report.words import SECONDS, number_text
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Block as DayBlock
from analysis.values.estimate import NoValue, Result
from analysis.values.words import capital, one_line, tr, tr_count


def season_content(season: Season) -> Page:
    """All tests of an athlete and what was planned beside them. Raises PlanError where a drill is unknown."""
    days = [day.day for day in season.days]
    span = "" if not days else days[0] if len(days) == 1 else tr("{a} to {b}").format(a=days[0], b=days[-1])
    tests = tr_count("{count} day", "{count} days", len(days)).format(count=len(days))
    facts = plain_facts([(tr("Tests"), tests), *([(tr("From"), span)] if span else [])])
    heading = (one_line(season.code) or tr("No athlete named"), tr("Season"))
    return Page(heading, facts, tuple(_blocks(season)))


def _blocks(season: Season) -> Iterator[Block]:
    yield Heading(tr("Tests"))
    if season.days:
        yield _tests(season)
        yield from _charts(season)
    else:
        yield Words(tr("No run of this athlete has a day, or none can be read."), Look.QUIET)
    changes = [since for day in season.days[1:] if (since := season.since(day.runs[-1]))]
    yield from _changes(changes)
    yield from _gates(season)
    yield from _plans(season, changes)
    yield Heading(tr("What remains"))
    yield from _remains(season)


def _tests(season: Season) -> Table:
    columns = list(dict.fromkeys(key for day in season.days for key, _ in headline_numbers(day)))
    lines = []
    for day in season.days:
        there = dict(headline_numbers(day))
        cells = [result_number(key, there[key], day.day) if key in there else words("–") for key in columns]
        departs = departs_words(remaining(day.runs))
        lines.append(Line(day.day, "", (words(str(len(day.runs))), *cells, words(departs))))
    head = (tr("runs"), *(key_name(key) for key in columns), tr("departs first"))
    return Table(tr("Tests"), head, tuple(lines), (), tr("day"))


def _charts(season: Season) -> Iterator[Block]:
    runs = [run for day in season.days for run in day.runs]
    courses = [history(runs, key) for key, _ in headline_numbers(season.days[-1])]
    courses += [
        gate_history(season.gates, season.athlete_id, x) for x in sorted({g.distance_m for g in season.gates})
    ]
    drawn = [history_drawing(one, capital(key_name(one.key))) for one in courses]
    if found := tuple(filter(None, drawn)):
        yield Charts(found)


def _changes(changes: list[Since]) -> Iterator[Block]:
    yield Heading(tr("Changes"))
    if not changes:
        yield Words(tr("It takes tests of two days to tell a change."), Look.QUIET)
    for since in changes:
        days = tr("{before} to {after}").format(before=since.before.day, after=since.after.day)
        rows = (*since.headlines, *(row for row in since.comparison.rows if row.change))
        yield Heading(days, 3)
        yield from change_table(days, tuple(dict.fromkeys(rows)), since.after.day)
    notes = dict.fromkeys(note for since in changes for note in since.comparison.notes)
    yield from (Words(note, Look.QUIET) for note in notes)


def _gates(season: Season) -> Iterator[Block]:
    found = gate_days(season.gates, season.readings)
    if not found:
        return
    yield Heading(tr("Times from gates"))
    head = (
        *(tr("distance, m"), tr("gate, s"), tr("film from clock zero, s"), tr("gate less film, s")),
        *(tr("film from front toe-off, s"), tr("gate less film, s")),
    )
    lines = []
    for one in found:
        at = f"{one.day}:{one.distance_m:g}"
        results = (
            *(("gate_s", one.gate_s), ("film_s", one.film_s), ("difference_s", one.difference_s)),
            *(("film_off_s", one.film_off_s), ("difference_off_s", one.difference_off_s)),
        )
        cells = [_seconds(f"{name}:{at}", result) for name, result in results]
        lines.append(Line(one.day, "", (words(f"{one.distance_m:g}"), *cells)))
    reasons = [one.film_s.reason for one in found if isinstance(one.film_s, NoValue)]
    yield Table(tr("Times from gates"), head, tuple(lines), tuple(dict.fromkeys(reasons)), tr("day"))
    yield Words(GATE_CAUTION, Look.QUIET)


GATE_CAUTION = tr(
    "Gate and film start their clocks at different moments, and a beam is broken by whatever comes first "
    "at its height, not by the hips, so a difference is to be expected (common practice, no source). The ± "
    "holds the film's errors and that gates are read to 0.01 s, nothing else."
)


def _seconds(key: str, result: Result) -> Number:
    value = None if isinstance(result, NoValue) else result.value
    return Number(key, number_text(result, SECONDS, with_unit=False), value)


def _plans(season: Season, changes: list[Since]) -> Iterator[Block]:
    yield Heading(tr("Days planned beside it"))
    if not season.plans:
        yield Words(tr("No day is planned for this athlete."), Look.QUIET)
        return
    yield Words(
        tr(
            "What was planned between two tests stands beside what changed, and is not called its cause: "
            "the same days held much else. Done is what the coach marked so; without a mark nobody said."
        ),
        Look.QUIET,
    )
    last = season.days[-1].day if season.days else ""
    plans = sorted((p for p in season.plans if p.date <= last), key=lambda p: (p.date, p.id))
    lines = tuple(_planned_line(season, plan, changes) for plan in plans)
    if lines:
        head = (tr("works on"), tr("drills"), tr("done"), tr("the test after it"))
        yield Table(tr("Days planned beside it"), head, lines, (), tr("day"))
    else:
        yield Words(tr("None was planned before the last test."), Look.QUIET)


def _planned_line(season: Season, plan: DayPlan, changes: list[Since]) -> Line:
    after = next((one for one in changes if one.before.day <= plan.date <= one.after.day), None)
    beside = tr("no test after it to compare")
    if after is not None:
        verdicts = [f"{key_name(row.key)} {verdict_words(row)}" for row in after.headlines]
        beside = tr("{day}: {verdicts}").format(day=after.after.day, verdicts="; ".join(verdicts))
    done = done_words(plan) or tr("not marked")
    cells = (words(aim_words(plan)), words(_drills(season, plan)), words(done), words(beside))
    return Line(plan.date, "", cells)


def _drills(season: Season, plan: DayPlan) -> str:
    found = []
    for block in DayBlock:
        for one in plan.of_block(block):
            drill = drill_of(season.drills, one.drill_id)
            dose = planned_words(one, drill.dose.rest_after)
            reps = season.filmed.get((plan.id, one.drill_id), 0)
            filmed = tr_count(", {count} rep filmed", ", {count} reps filmed", reps).format(count=reps)
            went = tr(", done") if one.done is not None else ""
            went += f": {one.done.note}" if one.done is not None and one.done.note else ""
            found.append(f"{drill.name} ({BLOCK_WORDS[block]}, {dose}{filmed if reps else ''}{went})")
    return "; ".join(found) or tr("none")


def _left_over(season: Season) -> str:
    """Of the last day of which something was done: what was not; empty where all was."""
    begun = max((p for p in season.plans if p.done), key=lambda p: (p.date, p.id), default=None)
    if begun is None or begun.all_done:
        return ""
    left = (drill_of(season.drills, one.drill_id).name for one in begun.drills if one.done is None)
    return tr("{day}: {drills}").format(day=begun.date, drills="; ".join(left))


def _remains(season: Season) -> Iterator[Block]:
    found = remaining(season.days[-1].runs) if season.days else None
    if found is None:
        nothing = tr("Nothing could be judged.") if season.days else tr("Nothing has been read yet.")
        yield Words(nothing, Look.QUIET)
    else:
        cause = found.cause
        yield Words(cause.sentence, Look.FIRST)
        if cause.coach:
            yield Words(cause.coach.reason, lead=tr("The coach's own word:"))
        if cause.following:
            yield Bullets(tuple(one.sentence for one in cause.following))
    if left := _left_over(season):
        yield Words(left, lead=tr("Begun and not marked as done:"))
    yield Words(coming_words(season), lead=tr("Next:"))
    yield Words(
        tr(
            "A reading of pictures, not a diagnosis; no ground to select, to sign, or to let anybody "
            "return to play."
        ),
        Look.QUIET,
    )
