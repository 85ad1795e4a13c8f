"""Draws value and uncertainty in two columns of their own within a cell, so that figures stand in line."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPalette
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app.run.number_cells import ERROR_ROLE, QUIET_ROLE, WIDEST_ERROR_ROLE
from app.theme.apply import current_theme, sized
from app.theme.tokens import Space, Type


class NumberDelegate(QStyledItemDelegate):
    """Paints a number right-aligned at a line that all rows share, its uncertainty fainter behind it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._fonts: dict[str, tuple[QFont, QFont]] = {}

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        option = QStyleOptionViewItem(option)  # the view's own must stay as it is
        self.initStyleOption(option, index)
        value = option.text
        option.text = ""
        option.widget.style().drawControl(
            QStyle.ControlElement.CE_ItemViewItem, option, painter, option.widget
        )
        value_font, error_font = self._value_and_error(option.font)
        across = _error_width(index, error_font)
        cell = option.rect.adjusted(Space.TIGHT, 0, -Space.TIGHT, 0)
        number = QRect(cell.left(), cell.top(), cell.width() - across, cell.height())
        error = QRect(number.right() + 1 + Space.TIGHT, cell.top(), across, cell.height())
        theme = current_theme()
        text = str(index.data(ERROR_ROLE) or "")
        painter.save()
        painter.setFont(value_font)
        loud = text and not index.data(QUIET_ROLE)
        painter.setPen(option.palette.color(QPalette.ColorRole.Text) if loud else QColor(theme.muted))
        painter.drawText(number, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter), value)
        painter.setFont(error_font)
        painter.setPen(QColor(theme.muted))
        painter.drawText(error, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), text)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        value_font, error_font = self._value_and_error(option.font)
        body = QFontMetrics(value_font)
        width = body.horizontalAdvance(str(index.data())) + _error_width(index, error_font)
        return QSize(width + 2 * Space.TIGHT + Space.HAIR, body.height() + Space.BASE)

    def _value_and_error(self, font: QFont) -> tuple[QFont, QFont]:
        """Fonts of the two parts, kept: making one costs more than writing or measuring with it."""
        key = font.key()
        if key not in self._fonts:
            self._fonts[key] = sized(font, Type.BODY), sized(font, Type.CAPTION)
        return self._fonts[key]


def _error_width(index: QModelIndex | QPersistentModelIndex, font: QFont) -> int:
    return QFontMetrics(font).horizontalAdvance(str(index.data(WIDEST_ERROR_ROLE) or "")) + Space.TIGHT
