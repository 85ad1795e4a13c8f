"""A reading as a file for a spreadsheet or a script."""

from __future__ import annotations

import json
from pathlib import Path

from analysis.reading.tables import reading_to_csv, reading_to_json
from analysis.values.errors import CinderlaneError
from analysis.values.reading import Reading
from analysis.values.words import tr


def export_reading(reading: Reading, path: Path) -> None:
    """Write a reading: JSON where the name ends in .json, else CSV as RFC 4180 has it.

    Raises CinderlaneError where the file can't be written.
    """
    if path.suffix.lower() == ".json":
        text = json.dumps(reading_to_json(reading), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    else:
        text = reading_to_csv(reading)
    try:
        path.write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        raise CinderlaneError(
            tr("{path} could not be written. Choose another folder.").format(path=path)
        ) from error
