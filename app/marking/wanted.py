"""Which points would answer a measure that can't be read, and what they cost."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from analysis.values.estimate import NoValue
from analysis.values.posture import Moment, PostureReading
from analysis.values.reading import Reading
from analysis.values.run import Side
from analysis.values.words import tr, tr_count
from app.marking.bodies import asking_order
from app.marking.walks import Stop

Key = tuple[str, int, Moment, Side | None]
"""A measure of a reading: its name, step, moment and side."""

QUICK = (
    ("trunk_lead_deg", 0, Moment.PUSH),
    ("hip_share", 0, Moment.PUSH),
    ("trunk_opening_deg", 0, Moment.PUSH),
    ("shin_deg", 1, Moment.TOUCHDOWN),
)
"""What eight points, or ten, tell of the launch and the first strike: whether the hips go with the trunk, and
how the shin stands at the first touchdown."""


@dataclass(frozen=True)
class Wish:
    """Measures that belong together, with their name for people."""

    title: str
    keys: tuple[Key, ...]


def key_of(row: PostureReading) -> Key:
    """By what a measure is found again in another reading of the run."""
    return row.measure, row.step, row.moment, row.side


def wishes(reading: Reading) -> tuple[Wish, ...]:
    """Groups of measures for which points are wanted: the quick one first, then launch, then each step."""
    rows = [row for row in reading.posture if row.wanted]
    quick = tuple(key_of(row) for row in rows if (row.measure, row.step, row.moment) in QUICK)
    found = [Wish(tr("Launch and first strike"), quick)] if quick else []
    for step in sorted({row.step for row in rows}):
        title = tr("Step {step}, all measures").format(step=step) if step else tr("Launch, all measures")
        found.append(Wish(title, tuple(key_of(row) for row in rows if row.step == step)))
    return tuple(found)


def stops_for(reading: Reading | None, keys: Iterable[Key], near: Side) -> tuple[Stop, ...]:
    """The points that these measures want now, frame by frame, near side first; each once."""
    asked = set(keys)
    rows = reading.posture if reading is not None else ()
    points = {(int(f), n) for row in rows if key_of(row) in asked for f, n in row.wanted}
    order = asking_order(near)
    return tuple(Stop(f, n) for f, n in sorted(points, key=lambda p: (p[0], order.index(p[1]))))


def answered(reading: Reading | None, keys: Iterable[Key]) -> int:
    """How many of these measures have a number by now."""
    asked = set(keys)
    rows = reading.posture if reading is not None else ()
    return sum(key_of(row) in asked and not isinstance(row.result, NoValue) for row in rows)


def cost_words(stops: Iterable[Stop]) -> str:
    """What a walk costs: "8 clicks on 3 frames"."""
    there = list(stops)
    frames = len({stop.frame for stop in there})
    clicks = tr_count("{count} click", "{count} clicks", len(there)).format(count=len(there))
    on = tr_count("on {count} frame", "on {count} frames", frames).format(count=frames)
    return f"{clicks} {on}"
