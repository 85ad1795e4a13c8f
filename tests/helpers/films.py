"""A small film and a project with a run marked on it: quick to open, quick to step through."""

from __future__ import annotations

from pathlib import Path

from analysis.film import open_film
from analysis.store import SUFFIX, ProjectFile
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.film import FrameNumber
from analysis.values.project import run_changes
from analysis.values.run import (
    BodyPoint,
    Footfall,
    GroundMark,
    Line,
    LineKind,
    Run,
    Side,
    StartPush,
)
from tests.analysis.film.making import Kind as FilmKind
from tests.analysis.film.making import make

FRAMES, RATE_HZ, SIZE = 300, 240, (320, 180)

FOOTFALLS = (("a", Side.LEFT, 90, 130), ("b", Side.RIGHT, 145, 180), ("c", Side.LEFT, 196, 230))
MARKS = ((0.0, 20.0), (5.0, 160.0), (10.0, 300.0))
GROUND_PX = 150.0


def small_film(path: Path, frames: int = FRAMES) -> Path:
    """Write a film of 240 frames a second, each of its pictures another."""
    return make(path, FilmKind(frames=frames, rate=RATE_HZ, size=SIZE, options={"g": "30"}))


def marked_run(film_id: str, run_id: str = "run", name: str = "first", times: int = 1) -> Run:
    """A run with something of every kind on it; on a film ``times`` as long it lasts as much longer."""

    def frame(number: int) -> FrameNumber:
        return FrameNumber(number * times)

    return Run(
        run_id,
        film_id,
        name,
        frame(0),
        frame(FRAMES - 1),
        start=StartPush(frame(20), frame(50), frame(80), Side.RIGHT),
        marks=tuple(GroundMark(f"m{x:g}", x, 0.0, frame(20), u, GROUND_PX) for x, u in MARKS),
        footfalls=tuple(Footfall(i, side, frame(down), frame(off)) for i, side, down, off in FOOTFALLS),
        points=(BodyPoint(frame(90), "left_toe", 60.0, 148.0),),
        lines=(
            Line("shin", frame(90), LineKind.SHIN, Side.LEFT, (60.0, 140.0), (70.0, 110.0)),
            Line("trunk", frame(90), LineKind.TRUNK, None, (80.0, 100.0), (110.0, 70.0)),
        ),
    )


def project_on(film: Path, runs: int = 1, times: int = 1) -> Path:
    """A project beside a film with so many marked runs, named in the order of the alphabet; ``times``: see
    ``marked_run``.
    """
    path = film.with_suffix(SUFFIX)
    known = open_film(film)
    entry = FilmEntry("film", str(film), known.fingerprint)
    names = ("first", "second", "third")
    with ProjectFile.create(path) as file:
        file.commit(Command("", (Change(Kind.FILM, "film", None, entry),)))
        for number in range(runs):
            run = marked_run("film", f"run{number}", names[number], times)
            file.commit(Command("", run_changes(run)))
    return path
