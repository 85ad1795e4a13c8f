"""From a file to plain JSON values, with every way in which that can fail as a sentence."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from analysis.values.errors import SheetError
from analysis.values.words import tr

SIZE_LIMIT = 32 * 1024 * 1024
"""Bytes; a sheet of an hour at 240 frames per second with a point on every frame is smaller."""


def load(path: Path) -> dict[str, Any]:
    """The JSON object in a file. Raises SheetError where there is none."""
    try:
        with path.open("rb") as file:
            data = file.read(SIZE_LIMIT + 1)
    except FileNotFoundError as error:
        raise SheetError(tr("There is no run sheet at {path}. Check the name.").format(path=path)) from error
    except (OSError, ValueError) as error:
        raise SheetError(
            tr("The run sheet {path} can't be read: it is a folder, or you may not open it.").format(
                path=path
            )
        ) from error
    if len(data) > SIZE_LIMIT:
        raise SheetError(
            tr("{path} is larger than any run sheet ({limit} MB). Choose the sheet, not the film.").format(
                path=path, limit=SIZE_LIMIT // 2**20
            )
        )
    return parse(data)


def parse(data: bytes) -> dict[str, Any]:
    """The JSON object in UTF-8 text. Raises SheetError."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise SheetError(
            tr("The run sheet is not text in UTF-8. Choose a JSON file, or save it anew.")
        ) from error
    try:
        content = json.loads(text, object_pairs_hook=_once)
    except json.JSONDecodeError as error:
        raise SheetError(
            tr(
                "The run sheet is not JSON: line {line}, column {column}. Mend it there, or export it anew."
            ).format(line=error.lineno, column=error.colno)
        ) from error
    except (ValueError, RecursionError) as error:
        if isinstance(error, SheetError):
            raise
        raise SheetError(
            tr("The run sheet is nested too deeply or holds a number of too many digits. Export it anew.")
        ) from error
    return checked_object(content)


def plain(content: Mapping[str, Any]) -> dict[str, Any]:
    """A sheet given as a mapping, as the JSON values that a file would give. Raises SheetError."""
    try:
        return parse(json.dumps(content).encode("utf-8"))
    except (TypeError, RecursionError) as error:
        raise SheetError(
            tr("The run sheet holds something that JSON has no form for. Export it anew.")
        ) from error
    except ValueError as error:
        if isinstance(error, SheetError):
            raise
        raise SheetError(tr("The run sheet refers to itself. Export it anew.")) from error


def name_of(path: str | os.PathLike[str]) -> Path:
    """The path as such, absolute."""
    try:
        return Path(path).absolute()
    except (OSError, ValueError) as error:
        raise SheetError(tr("There is no run sheet at {path}. Check the name.").format(path=path)) from error


def checked_object(content: object) -> dict[str, Any]:
    """The content where it is an object. Raises SheetError otherwise."""
    if not isinstance(content, dict):
        raise SheetError(tr("The file is JSON but no run sheet: it must hold one object in braces."))
    return content


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    content = dict(pairs)
    if len(content) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise SheetError(
            tr("The key {name!a} stands twice in one place. Leave one of them.").format(name=twice)
        )
    return content
