"""Paths of films as a file keeps them: both may move together and still find each other."""

from __future__ import annotations

import os
from pathlib import Path, PurePath, PurePosixPath, PureWindowsPath


def is_whole(path: str) -> bool:
    """Whether the path leads from the root of a disk, on this or on another kind of system."""
    return PurePosixPath(path).is_absolute() or PureWindowsPath(path).is_absolute()


def stored(path: str, folder: Path) -> str:
    """The path as a file in ``folder`` keeps it.

    Relative and with slashes, where both lie below one folder and that gives back exactly the same path;
    otherwise as it is.
    """
    if not path:
        return path
    try:
        relative = PurePath(os.path.relpath(path, folder)).as_posix()
        shared = os.path.commonpath([path, folder])
    except ValueError:  # another drive
        return path
    apart = relative.startswith("../") and shared == Path(shared).anchor
    return relative if not apart and restored(relative, folder) == path else path


def restored(path: str, folder: Path) -> str:
    """The absolute path for one that a file in ``folder`` keeps; an empty one stays empty."""
    if not path or is_whole(path):
        return path
    return os.path.normpath(folder / path)
