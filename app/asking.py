"""Questions that need a file; each is one function with one answer, so that a test can stand in for it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from analysis.jobs.board import PICTURE_ENDINGS
from analysis.store import SUFFIX
from analysis.values.words import tr

FILM_ENDINGS = "*.mp4 *.mov *.m4v *.mkv *.avi *.webm *.ts *.mts *.3gp"


def film_to_open(parent: QWidget, folder: str) -> Path | None:
    """Which film; None where the coach thought better of it."""
    kinds = f"{tr('Films')} ({FILM_ENDINGS} {FILM_ENDINGS.upper()});;{tr('All files')} (*)"
    name, _ = QFileDialog.getOpenFileName(parent, tr("Open film"), folder, kinds)
    return Path(name) if name else None


def boards_to_open(parent: QWidget) -> list[Path]:
    """A film of a chequerboard, or pictures of one; none where the coach thought better of it."""
    pictures = " ".join("*" + ending for ending in PICTURE_ENDINGS)
    endings = f"{FILM_ENDINGS} {pictures}"
    kinds = f"{tr('Films and pictures')} ({endings} {endings.upper()})"
    names, _ = QFileDialog.getOpenFileNames(parent, tr("Film or pictures of a chequerboard"), "", kinds)
    return [Path(name) for name in names]


def table_to_open(parent: QWidget) -> Path | None:
    """A table as CSV."""
    name, _ = QFileDialog.getOpenFileName(parent, tr("Open table"), "", f"{tr('Table')} (*.csv *.CSV)")
    return Path(name) if name else None


def table_to_save(parent: QWidget, title: str) -> Path | None:
    """Where to write a table as CSV."""
    name, _ = QFileDialog.getSaveFileName(parent, title, "", f"{tr('Table')} (*.csv *.CSV)")
    return with_ending(Path(name), (".csv",)) if name else None


def project_to_open(parent: QWidget) -> Path | None:
    """Which project."""
    name, _ = QFileDialog.getOpenFileName(parent, tr("Open project"), "", f"{tr('Project')} (*{SUFFIX})")
    return Path(name) if name else None


def folder_to_fill(parent: QWidget, title: str) -> Path | None:
    """Which folder is to hold what is written."""
    name = QFileDialog.getExistingDirectory(parent, title)
    return Path(name) if name else None


def place_to_save(parent: QWidget, title: str, what: str, ending: str) -> Path | None:
    """Where to write; the ending is added where it was left out."""
    endings = (".csv", ".json") if ending == ".csv" else (ending,)
    kinds = f"{what} ({' '.join('*' + e for e in endings)})"
    name, _ = QFileDialog.getSaveFileName(parent, title, "", kinds)
    return with_ending(Path(name), endings) if name else None


def with_ending(path: Path, endings: tuple[str, ...]) -> Path:
    """The path with one of the endings; "rep 2.5" has none yet."""
    return path if path.suffix.lower() in endings else path.with_name(path.name + endings[0])
