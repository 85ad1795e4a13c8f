"""Sentences for the coach, shown in place until read; nothing waits for them."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent, QHideEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton, QWidget

from analysis.values.words import tr
from app.theme.apply import current_theme
from app.theme.icons import icon

SHOWN_MS = 9000


class Notice(QFrame):
    """One sentence at a time, newest wins; goes by itself after a while or when closed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self.setAccessibleName(tr("Message"))
        self.text = QLabel("", self)
        self.text.setWordWrap(True)
        self._close = QToolButton(self)
        self._close.setAccessibleName(tr("Close the message"))
        self._close.setToolTip(tr("Close the message"))
        self._close.setAutoRaise(True)
        self._close.setMinimumSize(28, 28)
        self._close.clicked.connect(self.hide)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 2, 4, 2)
        layout.addWidget(self.text, 1)
        layout.addWidget(self._close)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.hide)
        self.dress()
        self.hide()

    def dress(self) -> None:
        """Draw the icon in the colours of the theme."""
        self._close.setIcon(icon("delete", current_theme()))

    def say(self, sentence: str) -> None:
        """Show a sentence; an empty one hides the notice."""
        if not sentence:
            self.hide()
            return
        self.text.setText(sentence)
        self.show()
        self._timer.start(SHOWN_MS)
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def hideEvent(self, event: QHideEvent) -> None:
        """No timer runs for a notice that is gone."""
        self._timer.stop()
        super().hideEvent(event)
