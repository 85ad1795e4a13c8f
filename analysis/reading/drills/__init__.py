"""Films of drills: every repetition read, and how a measure goes within a set and across sets."""

from analysis.reading.drills.rep import DrillReading, RepReading, read_drill
from analysis.reading.drills.sets import across_sets, within_set

__all__ = ["DrillReading", "RepReading", "across_sets", "read_drill", "within_set"]
