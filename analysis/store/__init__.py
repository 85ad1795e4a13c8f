"""The project file: one SQLite file, written at every edit."""

from analysis.store.project_file import ProjectFile
from analysis.store.tables import SUFFIX

__all__ = ["SUFFIX", "ProjectFile"]
