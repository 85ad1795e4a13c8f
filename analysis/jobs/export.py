"""A reading as a file for a spreadsheet or a script; any file written whole or not at all."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from analysis.reading.tables import reading_to_csv, reading_to_json
from analysis.values.errors import CinderlaneError
from analysis.values.reading import Reading
from analysis.values.words import tr


@dataclass(frozen=True)
class Written:
    """The files that were written, and sentences for the coach. ``left_out``: which runs were asked for and
    are not among the files, and why.
    """

    files: tuple[Path, ...]
    notes: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()

    def any_of_it(self) -> Written:
        """Itself. Raises CinderlaneError with the reasons where nothing was written."""
        if not self.files:
            raise CinderlaneError("\n".join(self.left_out) or tr("There was nothing to write."))
        return self

    @property
    def path(self) -> Path:
        """The first of them."""
        return self.files[0]


def export_reading(reading: Reading, path: Path, *, force: bool = False) -> None:
    """Write a reading: JSON where the name ends in .json, else CSV as RFC 4180 has it.

    ``force``: with what the speed curve means for the forces, in JSON only.
    Raises CinderlaneError where the file can't be written.
    """
    if path.suffix.lower() == ".json":
        content = reading_to_json(reading, force=force)
        text = json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    else:
        text = reading_to_csv(reading)
    write_whole(path, text.encode("utf-8"))


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is there whole or not at all; what stood there before stays until then.

    Raises CinderlaneError where it can't be written.
    """
    with whole(path) as part:
        part.write_bytes(content)


@contextmanager
def whole(path: Path) -> Iterator[Path]:
    """Where to write what is to stand at ``path`` in the end; it is moved there once the block is done.

    Raises CinderlaneError where it can't be written.
    """
    part = part_of(path)
    try:
        with writing(path):
            yield part
            part.replace(path)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


@contextmanager
def writing(path: Path) -> Iterator[None]:
    """Raises CinderlaneError, with a sentence for the coach, where ``path`` can't be written in the block."""
    try:
        yield
    except OSError as error:
        raise CinderlaneError(
            tr("{path} could not be written. Choose another folder.").format(path=path)
        ) from error


def part_of(path: Path) -> Path:
    """Where a file lies until it is whole."""
    return path.with_name(f".{path.name}.part")
