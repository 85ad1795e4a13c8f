"""Where a film of the project lies now."""

from __future__ import annotations

from pathlib import Path

from analysis.values.errors import MissingFilmError
from analysis.values.words import tr


def found(path: str, folder: Path) -> Path:
    """The film at ``path``, or one of the same name in the project's ``folder``.

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
