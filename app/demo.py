"""The demo project: an invented wing's two runs and two drills, made from the sample clips once."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from analysis.jobs.following import load_tracks
from analysis.jobs.sheets import add_sheet
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind, command
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.errors import FilmError, ProjectError
from analysis.values.project import Project, bare
from analysis.values.words import tr
from app.demo_drills import add_day

SAMPLES = Path(__file__).resolve().parent.parent / "sample_clips"
CLIPS = {"wing_day1": "2026-03-06", "wing_day2": "2026-03-20"}
"""The clips with their invented days."""


def sheet_of(clip: str) -> Path:
    """The run sheet of a sample clip on which whole bodies were clicked."""
    return SAMPLES / f"{clip}.clicked.json"


def tracks_of(clip: str) -> Path:
    """Those points, followed between."""
    return SAMPLES / f"{clip}.tracks.npz"


def demo_project(folder: Path) -> Path:
    """The demo project in ``folder``; made where it is missing, else as the coach left it.

    Raises ProjectError where the sample clips are missing or the folder can't be written.
    """
    path = folder / "demo.cinderlane"
    if path.exists():
        return path
    if not SAMPLES.is_dir():
        raise ProjectError(
            tr("The sample clips are missing. Clone the whole repository, or open a film of your own.")
        )
    # under another name until it is whole: what was half made would be taken for the coach's own
    part = path.with_name("demo-in-the-making.cinderlane")
    try:
        part.unlink(missing_ok=True)
        runs = {_add(part, clip): day for clip, day in CLIPS.items()}
        with ProjectFile.open(part) as file:
            file.commit(_told(file.project, runs))
        add_day(part, SAMPLES, next(iter(CLIPS.values())))
        part.replace(path)
    except OSError as error:
        raise ProjectError(
            tr("The demo project can't be written in {folder}.").format(folder=folder)
        ) from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return path


def _add(project: Path, clip: str) -> str:
    run_id = add_sheet(project, sheet_of(clip)).run_id
    with suppress(FilmError), ProjectFile.open(project) as file:  # without them the coach follows them anew
        file.keep_tracks(run_id, load_tracks(tracks_of(clip)))
    return run_id


def _told(project: Project, days: Mapping[str, str]) -> Command:
    """What a coach would note of an invented adult's runs from a split stance, by their ids."""
    changes = [
        Change(Kind.ATHLETE, one.id, one, replace(one, age=AgeGroup.ADULT))
        for one in project.athletes.values()
    ]
    for run_id, day in days.items():
        run = project.runs[run_id]
        noted = Conditions(day, Stance.SPLIT, surface=tr("hall floor"), rep=1)
        changes.append(Change(Kind.RUN, run.id, bare(run), bare(replace(run, conditions=noted))))
    return command("", changes)
