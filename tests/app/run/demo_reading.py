"""The reading of the demo project's first run, with its followed body."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from analysis.film import open_film
from analysis.jobs.evidence import evidence_for
from analysis.reading import read
from analysis.store import ProjectFile
from analysis.values.evidence import Evidence
from analysis.values.reading import Reading
from app.demo import demo_project
from app.followed import Followed


@cache
def demo_evidence() -> Evidence:
    """All that the reading rests on."""
    with TemporaryDirectory() as folder, ProjectFile.open(demo_project(Path(folder))) as file:
        run = next(one for one in file.project.sprints if one.name == "wing_day1")
        facts = open_film(Path(file.project.films[run.film_id].path)).facts
        return replace(evidence_for(file.project, run, facts), tracks=Followed().of(file, run).tracks)


@cache
def demo_reading() -> Reading:
    """Read once for all tests."""
    return read(demo_evidence())
