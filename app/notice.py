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
_LEAST = 340
"""With less room than this in the bar a sentence would run over many lines."""
_MARGIN, _GAP = 16, 8


class Notice(QFrame):
    """One sentence at a time, newest wins; goes by itself after a while or when closed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._between: tuple[QWidget, QWidget] | None = None
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

    def float_over(self, widget: QWidget, left: QWidget, right: QWidget) -> None:
        """Lie over a widget, so that nothing shifts when a sentence comes: between two parts of its bar,
        where there is room, else over its lower edge.
        """
        self._between = left, right
        self.setParent(widget)
        widget.installEventFilter(self)
        self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in place when the widget below changes its size or what stands in its bar."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.LayoutRequest) and self.isVisible():
            self._place()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        below = self.parentWidget()
        if below is None or self._between is None:
            return
        left, right = self._between
        begin, end = left.geometry().right() + _GAP, right.geometry().left() - _GAP
        in_bar = end - begin >= _LEAST
        width = min(_WIDEST, end - begin if in_bar else below.width() - 2 * _MARGIN)
        self.setFixedWidth(width)
        height = max(self.sizeHint().height(), self.heightForWidth(width))
        self.setFixedHeight(height)
        if in_bar:
            self.move(end - width, _GAP // 2)
        else:
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
