"""The demo project: an invented wing's two runs, made from the sample clips at first use."""

from __future__ import annotations

from contextlib import suppress
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
    # under another name until it is whole: what was half made would be taken for the coach's own
    part = path.with_name("demo-in-the-making.cinderlane")
    try:
        part.unlink(missing_ok=True)
        for sheet in _SHEETS:
            add_sheet(part, SAMPLES / sheet)
        part.replace(path)
    except OSError as error:
        raise ProjectError(
            tr("The demo project can't be written in {folder}.").format(folder=folder)
        ) from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return path
