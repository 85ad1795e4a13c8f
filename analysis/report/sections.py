"""The reading's parts as rows of words: pure, so that they can be tested without a window."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.report.speed_words import agreement, last_step_words, rule_of_thumb
from analysis.report.step_columns import MEASURES
from analysis.report.words import (
    DEGREES,
    METRES,
    METRES_PER_SECOND,
    MILLISECONDS,
    SECONDS,
    Unit,
    explanation,
    line_word,
    number_text,
    side_word,
    spoken,
)
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.reading import LineReading, Reading, SpeedReading, StepReading
from analysis.values.run import Athlete
from analysis.values.words import signed, tr


@dataclass(frozen=True)
class Row:
    """A name and its number. ``frame``: where a click goes, if anywhere; ``hint``: interval or reason;
    ``note``: beside the name where a click goes somewhere, else on a line below. ``under``: all that is to be
    said, below the name, which has no number then. ``key``, ``value``: which number, in the reading's unit.
    """

    name: str
    text: str
    hint: str
    spoken: str
    missing: bool = False
    frame: int | None = None
    note: str = ""
    under: str = ""
    key: str = ""
    value: float | None = None


@dataclass(frozen=True)
class Section:
    """A heading with rows; ``empty`` says what to do where there are none, ``caption`` stands below them."""

    title: str
    rows: tuple[Row, ...]
    empty: str = ""
    caption: str = ""


def row(
    name: str, result: Result, unit: Unit, frame: int | None = None, note: str = "", key: str = ""
) -> Row:
    """A row for one result."""
    return Row(
        name,
        number_text(result, unit),
        explanation(result, unit),
        spoken(name, result, unit),
        isinstance(result, NoValue),
        frame,
        note,
        key=key,
        value=None if isinstance(result, NoValue) else result.value,
    )


def places(reading: Reading, athlete: Athlete | None = None) -> tuple[Section, ...]:
    """Splits and speeds, a section for each place; a rule of thumb beside them hangs on the athlete."""
    found = sorted({split.x_m for split in reading.splits} | {speed.x_m for speed in reading.speeds})
    return tuple(_place(reading, x_m, athlete) for x_m in found)


def _place(reading: Reading, x_m: float, athlete: Athlete | None) -> Section:
    rows: list[Row] = []
    for split in reading.splits:
        if split.x_m == x_m:
            zero = tr("Split, hips leave rest") if split.from_hips else tr("Split, first movement")
            rows.append(row(zero, split.time_s, SECONDS, key=f"split_s:{x_m:g}"))
            off = split.from_front_toe_off_s
            key = f"split_from_front_toe_off_s:{x_m:g}"
            rows.append(row(tr("Split, front toe-off"), off, SECONDS, key=key))
    for speed in reading.speeds:
        if speed.x_m == x_m:
            rows += speed_rows(speed)
    here = (rule_of_thumb(speed, athlete) for speed in reading.speeds if speed.x_m == x_m)
    return shown(Section(tr("At {x} m").format(x=signed(x_m)), tuple(rows), caption=next(here, "")))


def speed_rows(speed: SpeedReading) -> list[Row]:
    """Speed at a place in both ways and how they differ in words, or the last whole step's mean instead."""
    at, unit = f":{speed.x_m:g}", METRES_PER_SECOND
    rows = [
        row(tr("Speed, nearby steps"), speed.local_m_s, unit, key="local_m_s" + at),
        row(tr("Speed, whole run"), speed.model_m_s, unit, note=agreement(speed), key="model_m_s" + at),
    ]
    if any(r.missing for r in rows) and isinstance(speed.last_step_m_s, Estimate):
        rows.append(row(last_step_words(speed), speed.last_step_m_s, unit, key="last_step_m_s" + at))
    return rows


def shown(section: Section) -> Section:
    """A section without any number shrinks to the reasons why, each said once."""
    if not all(r.missing for r in section.rows):
        return section
    reasons = dict.fromkeys(r.hint for r in section.rows)
    return Section(section.title, (), " ".join(reasons) or section.empty)


def start(reading: Reading) -> Section:
    """The start push."""
    push = reading.start
    rows = (
        row(tr("Push, rear foot"), push.rear_foot_push_s, MILLISECONDS, key="rear_foot_push_s:0"),
        row(tr("Push, front foot"), push.front_foot_push_s, MILLISECONDS, key="front_foot_push_s:0"),
        row(tr("First flight"), push.first_flight_s, MILLISECONDS, key="first_flight_s:0"),
        row(tr("First step length"), push.first_step_length_m, METRES, key="first_step_length_m:0"),
    )
    if all(r.missing for r in rows):
        return Section(
            tr("Start push"), (), tr("Mark the first movement and each foot's toe-off to read the start.")
        )
    return Section(tr("Start push"), rows)


def launched(reading: Reading) -> Section:
    """What is known of the start push beside the picture: its times and length, how the trunk went."""
    push = start(reading)
    lead = row(tr("Trunk lead"), reading.start.trunk_lead_deg, DEGREES, key="trunk_lead_deg:0")
    return Section(push.title, tuple(one for one in (*push.rows, lead) if not one.missing))


def stepped(step: StepReading) -> Section:
    """What is known of a step beside the picture; no row without a number."""
    title = tr("Step {step}, {side}").format(step=step.step, side=side_word(step.side))
    rows = (row(column.name, column.result(step), column.unit) for column in MEASURES)
    return Section(title, tuple(one for one in rows if not one.missing))


def lines(reading: Reading) -> Section:
    """Angles of all drawn lines."""
    rows = tuple(_line_row(line) for line in reading.lines)
    return Section(tr("All lines"), rows, tr("Draw a trunk or shin line on the film to read its angle."))


def lines_here(reading: Reading, frame: int) -> Section:
    """Angles of the lines on the frame that the film shows."""
    rows = tuple(_line_row(line) for line in reading.lines if line.frame == frame)
    return Section(tr("Lines on this frame"), rows)


def notes(reading: Reading) -> Section:
    """What the reading has to say in sentences."""
    return Section(tr("Notes"), tuple(Row(sentence, "", "", sentence) for sentence in reading.notes))


def _line_row(line: LineReading) -> Row:
    name = f"{line_word(line.kind)} {side_word(line.side)}".strip()
    note = tr("frame {frame}").format(frame=line.frame)
    return row(name, line.angle_deg, DEGREES, int(line.frame), note)
