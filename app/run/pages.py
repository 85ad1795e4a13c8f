"""Several views of one thing in one tab: a column of words beside them says which is on show."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QSizePolicy,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.theme.tokens import TARGET_PX, Space


class Pages(QWidget):
    """One page at a time; Up and Down in the column go through them."""

    def __init__(self, name: str, pages: tuple[tuple[QWidget, str], ...], parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setProperty("role", "panel")
        self._stack = QStackedWidget(self)
        self._choice = QButtonGroup(self)
        column = QVBoxLayout()
        column.setContentsMargins(Space.TIGHT, Space.TIGHT, Space.TIGHT, Space.TIGHT)
        column.setSpacing(Space.HAIR)
        for number, (page, title) in enumerate(pages):
            self._stack.addWidget(page)
            button = self._button(title)
            self._choice.addButton(button, number)
            column.addWidget(button)
        column.addStretch(1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addLayout(column)
        row.addWidget(self._stack, 1)
        self._choice.button(0).setChecked(True)
        self._choice.idClicked.connect(self._stack.setCurrentIndex)
        self._stack.currentChanged.connect(self._shown)

    def show_page(self, page: QWidget) -> None:
        """Bring a page to the front; one of another place changes nothing."""
        if self._stack.indexOf(page) >= 0:
            self._stack.setCurrentWidget(page)

    def _button(self, title: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(title)
        button.setCheckable(True)
        button.setAutoRaise(True)
        button.setMinimumHeight(TARGET_PX)
        button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setAccessibleName(title)
        return button

    @Slot(int)
    def _shown(self, number: int) -> None:
        if number >= 0:  # a stack that goes shows no page any more
            self._choice.button(number).setChecked(True)
