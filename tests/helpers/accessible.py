"""Every control that takes input has a name that a screen reader can say."""

from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QComboBox,
    QGraphicsView,
    QHeaderView,
    QLineEdit,
    QPlainTextEdit,
    QScrollBar,
    QTabBar,
    QTextEdit,
    QWidget,
)

INTERACTIVE = (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QComboBox,
    QGraphicsView,
    QLineEdit,
    QPlainTextEdit,
    QTabBar,
    QTextEdit,
)
# parts that Qt puts inside a larger control, which speaks for them
WITHIN = (QAbstractSpinBox, QComboBox, QAbstractItemView, QTabBar)


def _is_part_of_another(widget: QWidget) -> bool:
    if isinstance(widget, QScrollBar | QHeaderView) or widget.objectName().startswith("qt_"):
        return True
    parent = widget.parentWidget()
    while parent is not None:
        if isinstance(parent, WITHIN) and not parent.isWindow():
            return True
        parent = parent.parentWidget()
    return False


def name_of(widget: QWidget) -> str:
    """What a screen reader says for this widget."""
    interface = QAccessible.queryAccessibleInterface(widget)
    return interface.text(QAccessible.Text.Name).strip()


def assert_accessible(window: QWidget) -> None:
    """Walks all interactive widgets of a window, shown or not, and asserts that each has a name."""
    widgets = [w for w in window.findChildren(QWidget) if isinstance(w, INTERACTIVE)]
    own = [w for w in widgets if not _is_part_of_another(w)]
    assert own, "the window holds nothing to name"
    nameless = [f"{type(w).__name__} {w.objectName() or '(no object name)'}" for w in own if not name_of(w)]
    assert not nameless, "controls without an accessible name:\n" + "\n".join(nameless)
