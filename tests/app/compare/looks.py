"""Runs as the bench shows them, on films that nobody opens: times, size, marks and events alone."""

from __future__ import annotations

from dataclasses import replace

from analysis.reading.read import read
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameTimes
from analysis.values.run import Direction, GroundMark, Run
from app.bench import Look
from tests.helpers.films import marked_run

SIZE = (320, 180)
FRAMES = 300


def a_look(run_id="one", rate_hz=240, marks=((0.0, 20.0), (5.0, 160.0), (10.0, 300.0)), **changes) -> Look:
    """A marked run on a film of 300 frames; ``marks``: metres and columns of the picture, on the ground."""
    run: Run = replace(
        marked_run("film", run_id, run_id),
        marks=tuple(GroundMark(f"m{x:g}", x, 0.0, 20, u, 150.0) for x, u in marks),
        direction=Direction.RIGHT if marks[-1:] >= marks[:1] else Direction.LEFT,
        **changes,
    )
    facts = FilmFacts(FrameTimes.from_seconds([n / rate_hz for n in range(FRAMES)]), *SIZE)
    evidence = Evidence(run, facts)
    return Look(run, None, facts, read(evidence), evidence=evidence)
