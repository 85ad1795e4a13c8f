"""A run for tests of pages: a whole body's, its strip cut short to one grey frame, with a day planned."""

from __future__ import annotations

import io
import json
from dataclasses import replace

from PIL import Image

from analysis.jobs.report import told_of
from analysis.plan.library import common_drills
from analysis.reading import read
from analysis.report.told import Tile, Told
from analysis.values.conditions import Conditions
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.project import Project
from analysis.values.questions import Question
from tests.analysis.reading.runs import SAMPLES, evidence_of

HOSTILE = (
    'O\'Neil "the wing", no. 7',
    "<script>alert(1)</script>",
    "\"><img src='https://example.org/x.png' onerror=alert(1)>",
    "=cmd()|'/c calc'!A1",
    "{{ 7 * 7 }}{% include 'page.css' %}",
    "جناح 7",
    "🤾‍♀️ wing & co; &amp;",
    "]]></style><style>*{display:none}",
)


def told_of_day(clip: str = "wing_day1", day: str = "2026-03-06") -> Told:
    """A sample clip's run as made on a day."""
    evidence = evidence_of(json.loads((SAMPLES / f"{clip}.clicked.json").read_text(encoding="utf-8")))
    run = replace(evidence.run, id=clip, conditions=Conditions(day=day))
    evidence = replace(evidence, run=run)
    return told_of(Project(), evidence, read(evidence), None)


def whole_told() -> Told:
    """All that a page may hold: a strip, a day planned, an earlier day."""
    told = told_of_day("wing_day2", "2026-03-20")
    drill = next(iter(common_drills().values()))
    planned = PlannedDrill("p", drill.id, drill.blocks[0], 3, 4, 90.0, load="sled 12 kg", cue="push long")
    day = DayPlan("d", "2026-03-21", (told.evidence.run.athlete_id or "",), Question.LAUNCH, (planned,))
    grey = io.BytesIO()
    Image.new("RGB", (40, 60), "#808080").save(grey, "JPEG")
    tile = Tile(grey.getvalue(), "1 L touchdown", ("trunk 62 ± 5°",))
    return replace(told, day=day, tiles=(tile,), others=(told_of_day().reading,))


def called(told: Told, name: str) -> Told:
    """The same with a name in every place where somebody may write one."""
    run = replace(told.evidence.run, name=name, conditions=Conditions(day="2026-03-20", cue=name, shoe=name))
    athlete = told.evidence.athlete
    assert athlete is not None
    return replace(told, evidence=replace(told.evidence, run=run, athlete=replace(athlete, code=name)))
