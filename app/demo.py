"""The demo project: an invented wing's two runs, made from the sample clips at first use."""

from __future__ import annotations

from pathlib import Path

from analysis.jobs.sheets import add_sheet
from analysis.values.errors import ProjectError
from analysis.values.words import tr

SAMPLES = Path(__file__).resolve().parent.parent / "sample_clips"
_SHEETS = ("wing_day1.json", "wing_day2.json")


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
    for sheet in _SHEETS:
        add_sheet(path, SAMPLES / sheet)
    return path
