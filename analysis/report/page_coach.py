"""All that a run says, for the coach."""

from __future__ import annotations

from collections.abc import Iterator

from analysis.plan.wording import QUESTION_WORDS, day_words
from analysis.report.answer_words import STANDING_WORDS, VERDICT_WORDS
from analysis.report.content import (
    Block,
    Bullets,
    Charts,
    Contents,
    Fact,
    Facts,
    Heading,
    Look,
    Number,
    Page,
    Pictures,
    Words,
    plain_facts,
    words,
)
from analysis.report.film_quality import TITLE, film_quality
from analysis.report.page_changes import change_blocks
from analysis.report.page_charts import rhythm_drawing, speed_drawing
from analysis.report.page_facts import conditions_facts, day_blocks, film_facts
from analysis.report.page_tables import answer_blocks, posture_blocks, step_table
from analysis.report.season import Since, standing
from analysis.report.sections import Section, places, start
from analysis.report.told import Told
from analysis.values.answers import FirstCause
from analysis.values.questions import QUESTION_NAMES
from analysis.values.words import capital, tr

HOW_TO_READ = (
    tr(
        "Behind every number stands half of its 95 % interval: if the same run were filmed and marked over "
        "and over, about 95 of 100 such intervals would hold what really happened. It comes from the time "
        "between frames, the size of a pixel on the ground and how well a point can be placed."
    ),
    tr(
        "It speaks of measuring this run. It doesn't say how much the athlete varies from run to run, so "
        "two days are compared with several runs each. A dash means that the film does not tell; the "
        "reason stands below the table."
    ),
    tr(
        "“Cannot be told” means that the number and the edge of its band lie within the error: neither "
        "inside nor outside is claimed. Bands marked “common practice, no source” are a coach's starting "
        "point, not a norm."
    ),
)


NOT_TO_SHARE = tr(
    "No consent to share stands for this athlete, and the posture strip shows the person: hand this page "
    "to the athlete and the coaches only."
)


def coach_content(told: Told) -> Page:
    """All that a run says. Raises PlanError where a planned drill is not known any more."""
    facts = plain_facts(conditions_facts(told.evidence.run.conditions))
    blocks = tuple(_blocks(told))
    contents = Contents(tuple(one for one in blocks if isinstance(one, Heading) and one.level == 2))
    return Page(told.heading(tr("A run")), facts, (*_in_short(told), contents, *blocks))


def earlier_day(told: Told, since: Since) -> str:
    """The day of the test before, in words."""
    return tr("an earlier day") if told.public else since.before.day


def section_blocks(section: Section) -> tuple[Block, ...]:
    """A part of the reading under its heading."""
    if section.rows:
        below = (Words(section.caption, Look.QUIET),) if section.caption else ()
        return Heading(section.title, 3), section_facts(section), *below
    return (Heading(section.title, 3), Words(section.empty, Look.QUIET)) if section.empty else ()


def section_facts(section: Section) -> Facts:
    """The rows of a section; where there is no number, why."""
    rows = []
    for row in section.rows:
        told = (row.note, row.hint if row.missing else "")
        rows.append(Fact(row.name, Number(row.key, row.text, row.value), " ".join(filter(None, told))))
    return Facts(tuple(rows))


def _blocks(told: Told) -> Iterator[Block]:
    reading = told.reading
    if reading.first_cause and (cause := tuple(_cause(reading.first_cause))):
        yield Heading(tr("Where it began"))
        yield from cause
    yield Heading(tr("Four questions"))
    for answer in reading.questions:
        yield from answer_blocks(answer)
    yield Heading(tr("Start and places"))
    for section in (start(reading), *places(reading, told.evidence.athlete)):
        yield from section_blocks(section)
    yield Heading(tr("Steps"))
    if reading.steps:
        yield step_table(reading)
    else:
        yield Words(tr("No step is tagged yet: tag touchdowns and toe-offs."), Look.QUIET)
    drawings = tuple(filter(None, (speed_drawing(reading), rhythm_drawing(reading))))
    if drawings:
        yield Charts(drawings)
    yield from _since(told)
    if posture := posture_blocks(reading):
        yield Heading(tr("Posture at the events"))
        yield from posture
    yield from _strip(told)
    yield from _plan(told)
    yield Heading(tr("How it was filmed"))
    yield plain_facts(film_facts(told))
    yield from _quality(told)
    private = () if told.may_share or not told.tiles else (NOT_TO_SHARE,)
    if cautions := tuple(dict.fromkeys((*private, *told.film_notes, *reading.notes))):
        yield Heading(tr("Cautions"))
        yield Bullets(cautions)
    yield Heading(tr("How to read the ±"))
    yield from map(Words, HOW_TO_READ)


def _in_short(told: Told) -> Iterator[Block]:
    """What a coach reads first."""
    reading, cause = told.reading, told.reading.first_cause
    if cause:
        yield Words(cause.sentence, Look.FIRST)
        if cause.coach:
            yield Words(cause.coach.reason, lead=tr("The coach's own word:"))
    rows = [
        Fact(capital(QUESTION_NAMES[a.question]), words(VERDICT_WORDS[a.verdict])) for a in reading.questions
    ]
    rows += [fact for section in places(reading)[-1:] for fact in _headlines(section)]
    if (since := told.since) is not None:
        rows.append(
            Fact(
                tr("Since {day}").format(day=earlier_day(told, since)), words(STANDING_WORDS[standing(since)])
            )
        )
    if told.day is not None:
        rows.append(Fact(tr("Next"), words(day_words(told.day))))
    yield Facts(tuple(rows))


def _headlines(section: Section) -> Iterator[Fact]:
    """The first split and the first speed of a place that were read."""
    for begins in ("split", "local_m_s"):
        row = next((one for one in section.rows if one.key.startswith(begins) and not one.missing), None)
        if row is not None:
            name = tr("{name}, {place}").format(name=row.name, place=section.title.lower())
            yield Fact(name, Number(row.key, row.text, row.value))


def _cause(cause: FirstCause) -> Iterator[Block]:
    """What hangs on it."""
    if cause.following:
        yield Words(tr("What may follow from it:"))
        yield Bullets(tuple(one.sentence for one in cause.following))
    if cause.would_change:
        yield Words(tr("What would settle it:"))
        yield Bullets(tuple(one.sentence for one in cause.would_change))


def _quality(told: Told) -> Iterator[Block]:
    known = film_quality(told.findings, told.evidence)
    yield Heading(TITLE, 3)
    for lead, good in ((tr("What costs something:"), False), (tr("What costs nothing:"), True)):
        if sentences := tuple(one.sentence for one in known if one.good is good):
            yield Words(lead)
            yield Bullets(sentences)


def _since(told: Told) -> Iterator[Block]:
    yield Heading(tr("Since the last day"))
    since = told.since
    if since is None:
        why = tr("No earlier day of this athlete is in the project, or the run has no day.")
        yield Words(why, Look.QUIET)
    else:
        yield from change_blocks(since, dated=not told.public)


def _strip(told: Told) -> Iterator[Block]:
    yield Heading(tr("Posture strip"))
    if told.tiles:
        yield Pictures(told.tiles)
        legend = tr(
            "Left and right limbs in two colours, vermilion left and blue right; angles from the forward "
            "horizontal."
        )
        yield Words(legend, Look.QUIET)
    if told.no_tiles:
        yield Words(told.no_tiles, Look.QUIET)


def _plan(told: Told) -> Iterator[Block]:
    day = told.day
    if day is None:
        return
    yield Heading(tr("Plan of"), own=day.date)
    if day.question is not None:
        yield Words(tr("Works on: {question}").format(question=QUESTION_WORDS[day.question]))
    if day.notes:
        yield Words(day.notes, lead=tr("Notes:"))
    yield from day_blocks(told, each_caution=True)
