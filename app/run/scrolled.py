"""A form that scrolls where there is no room for it, instead of pressing its fields together."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtWidgets import QFrame, QLayout, QScrollArea, QWidget


class Scrolled(QScrollArea):
    """Holds one form. The keyboard goes to its fields, which come into view by themselves."""

    def __init__(self, form: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidgetResizable(True)
        self.setAccessibleName(form.accessibleName())
        self.setWidget(form)
        form.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep the form as high as its fields would like to be: their least height cuts large text."""
        asked = event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize, QEvent.Type.FontChange)
        if asked and isinstance(
            watched, QWidget
        ):  # the form; nothing of its own, which may be gone at the end
            layout = watched.layout()
            height = watched.sizeHint().height()
            if layout is not None and layout.hasHeightForWidth():
                height = max(height, layout.totalHeightForWidth(watched.width()))
            if watched.minimumHeight() != height:
                watched.setMinimumHeight(height)
        return super().eventFilter(watched, event)

    def minimumSizeHint(self) -> QSize:
        """As wide as the form needs."""
        form = self.widget()
        if form is None:
            return super().minimumSizeHint()
        if not self.isVisible():  # Qt lets layouts within layouts keep what they needed in the text before
            for layout in form.findChildren(QLayout):
                layout.invalidate()
        bar = self.verticalScrollBar().sizeHint().width()
        return QSize(form.minimumSizeHint().width() + bar, 80)
