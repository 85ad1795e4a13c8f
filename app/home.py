"""Where Cinderlane keeps settings, log and demo project."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs


def home() -> Path:
    """The folder of this user's settings, log and demo project; made where it is missing.

    The environment variable CINDERLANE_HOME names another one.
    """
    named = os.environ.get("CINDERLANE_HOME")
    folder = Path(named) if named else Path(platformdirs.user_data_dir("cinderlane", appauthor=False))
    folder.mkdir(parents=True, exist_ok=True)
    return folder
