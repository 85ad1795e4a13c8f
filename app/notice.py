"""Sentences for the coach, shown in place until read; nothing waits for them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent, QHideEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton, QWidget

from analysis.values.words import tr
from app.theme.apply import current_theme
from app.theme.icons import icon

SHOWN_MS = 9000
_WIDEST = 720
_MARGIN = 16


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
        self.setAutoFillBackground(True)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.dress()
        self.hide()

    def float_over(self, widget: QWidget) -> None:
        """Lie over the lower edge of a widget, so that nothing shifts when a sentence comes."""
        self.setParent(widget)
        widget.installEventFilter(self)
        self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in place when the widget below changes its size."""
        if event.type() is QEvent.Type.Resize:
            self._place()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        below = self.parentWidget()
        if below is None:
            return
        width = min(_WIDEST, below.width() - 2 * _MARGIN)
        self.setFixedWidth(width)
        height = max(self.sizeHint().height(), self.heightForWidth(width))
        self.setFixedHeight(height)
        self.move(_MARGIN, below.height() - height - _MARGIN)
        self.raise_()

    def dress(self) -> None:
        """Draw the icon in the colours of the theme."""
        self._close.setIcon(icon("delete", current_theme()))

    def say(self, sentence: str) -> None:
        """Show a sentence; an empty one hides the notice."""
        if not sentence:
            self.hide()
            return
        self.text.setText(sentence)
        self.setAccessibleName(sentence)
        self._place()
        self.show()
        self._timer.start(SHOWN_MS)
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def hideEvent(self, event: QHideEvent) -> None:
        """No timer runs for a notice that is gone."""
        self._timer.stop()
        super().hideEvent(event)
