"""A table as CSV and in a workbook."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.reading.cells import as_csv


@dataclass(frozen=True)
class Table:
    """A header and rows; None is an empty cell."""

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[object, ...], ...]

    @property
    def csv(self) -> str:
        """As CSV (analysis/reading/cells.py)."""
        return as_csv(self.header, self.rows)
