"""Where Cinderlane keeps settings, log and demo project."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs

from analysis.values.errors import CinderlaneError
from analysis.values.words import tr


def home() -> Path:
    """The folder of this user's settings, log and demo project; made where it is missing.

    The environment variable CINDERLANE_HOME names another one. Raises CinderlaneError where it can't be made.
    """
    named = os.environ.get("CINDERLANE_HOME")
    folder = Path(named) if named else Path(platformdirs.user_data_dir("cinderlane", appauthor=False))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CinderlaneError(
            tr(
                "Cinderlane can't keep its settings in {folder}. Name another folder in CINDERLANE_HOME."
            ).format(folder=folder)
        ) from error
    return folder
