"""The one verb: everything that a run says, out of one call."""

from analysis.reading.read import read
from analysis.reading.tables import reading_to_csv, reading_to_json, step_table

__all__ = ["read", "reading_to_csv", "reading_to_json", "step_table"]
