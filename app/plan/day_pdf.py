"""A planned day on one page of paper."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMarginsF, QSaveFile, QSizeF
from PySide6.QtGui import QFont, QPageLayout, QPageSize, QPdfWriter, QTextDocument

from analysis.values.errors import CinderlaneError
from analysis.values.words import tr

_MARGIN_MM = 15.0
_LARGEST_PT, _SMALLEST_PT, _STEP_PT = 11.0, 6.0, 0.5


def write_day(page: str, path: Path) -> None:
    """Write the HTML of a day as a PDF of one page; the type is as large as one page allows.

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
    _fitted(page, writer).print_(writer)
    del writer  # it ends the file when it goes
    if not file.commit():
        raise CinderlaneError(_cannot(path))


def _fitted(page: str, writer: QPdfWriter) -> QTextDocument:
    document = QTextDocument()
    document.documentLayout().setPaintDevice(writer)
    room = writer.pageLayout().paintRectPixels(writer.resolution()).size()
    points = _LARGEST_PT
    while True:
        document.setDefaultFont(_font(points))
        document.setHtml(page)
        document.setPageSize(QSizeF(room))
        if document.pageCount() <= 1 or points <= _SMALLEST_PT:
            return document
        points -= _STEP_PT


def _font(points: float) -> QFont:
    font = QFont()
    font.setPointSizeF(points)
    return font


def _cannot(path: Path) -> str:
    return tr("{file} can't be written. Choose another place.").format(file=path.name)
