"""Where films lie, seen from the project file: they are found again when both are moved together."""

from __future__ import annotations

import os
from pathlib import Path, PurePath

from analysis.values.errors import MissingFilmError
from analysis.values.words import tr


def stored(path: str, folder: Path) -> str:
    """The path as the file keeps it, for a project in ``folder``.

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
    """The absolute path for one that the file keeps."""
    if not path or Path(path).is_absolute():
        return path
    return os.path.normpath(folder / path)


def found(path: str, folder: Path) -> Path:
    """The film at ``path``, or one of the same name beside the project file.

    Raises MissingFilmError where there is neither.
    """
    if not path:
        raise MissingFilmError(tr("The run came without a film. Choose its film to see the pictures."))
    for candidate in (Path(path), folder / Path(path).name):
        if candidate.is_file():
            return candidate
    raise MissingFilmError(
        tr("The film {path} is not there any more. Put it back, or lay it beside the project file.").format(
            path=path
        )
    )
