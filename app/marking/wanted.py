"""Which points would answer a measure that can't be read, and what they cost."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from analysis.values.answers import Answer, Judged
from analysis.values.estimate import NoValue
from analysis.values.posture import Moment, PostureReading, Wanted
from analysis.values.questions import Question, Verdict
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
class Ask:
    """What a walk is for: measures without a number, or ``closer``, those whose number the other side's
    points would make closer.
    """

    keys: tuple[Key, ...] = ()
    closer: bool = False


@dataclass(frozen=True)
class Wish:
    """A walk with its name for people."""

    title: str
    ask: Ask


def key_of(row: PostureReading | Judged) -> Key:
    """By what a measure is found again in another reading of the run."""
    return row.measure, row.step, row.moment, row.side


def wishes(reading: Reading) -> tuple[Wish, ...]:
    """Walks for which points are wanted: the quick one first, where that is done what decides the launch,
    then all of the launch and of each step.
    """
    rows = [row for row in reading.posture if row.wanted]
    quick = tuple(key_of(row) for row in rows if (row.measure, row.step, row.moment) in QUICK)
    closer = undecided(reading)
    found = []
    if quick:
        found.append(Wish(tr("Launch and first strike"), Ask(quick)))
    elif closer:
        found.append(Wish(tr("Launch, the other side too"), Ask(closer, closer=True)))
    for step in sorted({row.step for row in rows}):
        title = tr("Step {step}, all measures").format(step=step) if step else tr("Launch, all measures")
        found.append(Wish(title, Ask(tuple(key_of(row) for row in rows if row.step == step))))
    return tuple(found)


def undecided(reading: Reading) -> tuple[Key, ...]:
    """Measures of the launch that their band can't decide as long as one side stands for both."""
    launch = [
        a for a in reading.questions if a.question is Question.LAUNCH and a.verdict is not Verdict.OUTSIDE
    ]
    untold = {
        (one.measure, one.step, one.moment)
        for answer in launch
        for one in answer.measures
        if one.verdict is Verdict.UNTOLD and one.closer
    }
    return tuple(key_of(r) for r in reading.posture if (r.measure, r.step, r.moment) in untold)


def stops_for(reading: Reading | None, ask: Ask, near: Side) -> tuple[Stop, ...]:
    """The points that a walk asks for now, frame by frame, near side first; each once."""
    asked = set(ask.keys)
    rows = [row for row in reading.posture if key_of(row) in asked] if reading is not None else []
    points = {(int(f), n) for row in rows for f, n in (row.closer if ask.closer else row.wanted)}
    order = asking_order(near)
    return tuple(Stop(f, n) for f, n in sorted(points, key=lambda p: (p[0], order.index(p[1]))))


def asks_among(reading: Reading, points: Wanted) -> Ask | None:
    """The walk through measures for which no other points are asked than these; None for none."""
    there, rows = set(points), reading.posture
    if keys := tuple(key_of(row) for row in rows if row.wanted and there >= set(row.wanted)):
        return Ask(keys)
    keys = tuple(key_of(row) for row in rows if row.closer and there >= set(row.closer))
    return Ask(keys, closer=True) if keys else None


def ask_of(answer: Answer) -> tuple[Ask, tuple[Stop, ...]]:
    """The walk that would let a question be judged, and its points: those of the measure that its sentence
    asks for, or the other side's where that is why nothing can be told. Without keys where none would.
    """
    banded = [one for one in answer.measures if one.band is not None]
    if answer.verdict is Verdict.NOT_JUDGED:
        missing = [one for one in banded if isinstance(one.result, NoValue)]
        return _asked(missing[:1], closer=False)
    if answer.verdict is Verdict.UNTOLD:
        return _asked([one for one in banded if one.verdict is Verdict.UNTOLD], closer=True)
    return Ask(), ()


def _asked(several: Iterable[Judged], *, closer: bool) -> tuple[Ask, tuple[Stop, ...]]:
    wanting = [(one, points) for one in several if (points := one.closer if closer else one.wanted)]
    keys = tuple(key_of(one) for one, _ in wanting)
    stops = dict.fromkeys(Stop(int(f), name) for _, points in wanting for f, name in points)
    return Ask(keys, closer=closer), tuple(stops)


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
