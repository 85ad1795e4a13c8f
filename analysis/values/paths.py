"""Paths of films as a file keeps them: both may move together and still find each other."""

from __future__ import annotations

import os
from pathlib import Path, PurePath


def stored(path: str, folder: Path) -> str:
    """The path as a file in ``folder`` keeps it.

    Relative and with slashes, wherever that gives back exactly the same path; otherwise as it is.
    """
    if not path:
        return path
    try:
        relative = PurePath(os.path.relpath(path, folder)).as_posix()
    except ValueError:  # another drive
        return path
    return relative if restored(relative, folder) == path else path


def restored(path: str, folder: Path) -> str:
    """The absolute path for one that a file in ``folder`` keeps; an empty one stays empty."""
    if not path or Path(path).is_absolute():
        return path
    return os.path.normpath(folder / path)
