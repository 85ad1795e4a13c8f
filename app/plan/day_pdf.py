"""A planned day on one page of paper."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QMarginsF, QSaveFile, QSizeF
from PySide6.QtGui import QFont, QPageLayout, QPageSize, QPdfWriter, QTextDocument

from analysis.values.errors import CinderlaneError
from analysis.values.words import tr

_MARGIN_MM = 15.0
_LARGEST_PT, _SMALLEST_PT, _STEP_PT = 11.0, 8.0, 0.5


def write_day(pages: Sequence[str], path: Path) -> int:
    """Write the HTML of a day as a PDF of one page; the type is as large as one page allows, and never below
    what can be read. ``pages``: the whole day, then ever shorter ones that serve where a longer one does not
    fit. How many pages it takes: more than one where even the last does not.

    Raises CinderlaneError where it can't be written; what was there stays then.
    """
    file = QSaveFile(str(path))
    if not file.open(QSaveFile.OpenModeFlag.WriteOnly):
        raise CinderlaneError(_cannot(path))
    writer = QPdfWriter(file)
    writer.setTitle(path.stem)
    writer.setPageLayout(
        QPageLayout(
            QPageSize(QPageSize.PageSizeId.A4),
            QPageLayout.Orientation.Portrait,
            QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM),
            QPageLayout.Unit.Millimeter,
        )
    )
    document = _fitted(pages, writer)
    document.print_(writer)
    del writer  # it ends the file when it goes
    if not file.commit():
        raise CinderlaneError(_cannot(path))
    return document.pageCount()


def _fitted(pages: Sequence[str], writer: QPdfWriter) -> QTextDocument:
    document = QTextDocument()
    document.documentLayout().setPaintDevice(writer)
    room = writer.pageLayout().paintRectPixels(writer.resolution()).size()
    for page in pages:
        points = _LARGEST_PT
        while points >= _SMALLEST_PT:
            document.setDefaultFont(_font(points))
            document.setHtml(page)
            document.setPageSize(QSizeF(room))
            if document.pageCount() <= 1:
                return document
            points -= _STEP_PT
    return document


def _font(points: float) -> QFont:
    font = QFont()
    font.setPointSizeF(points)
    return font


def _cannot(path: Path) -> str:
    return tr("{file} can't be written. Choose another place.").format(file=path.name)
