"""The helper that asks every control for its name notices one without."""

import pytest
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QSpinBox, QTableWidget, QWidget

from tests.helpers.accessible import assert_accessible, name_of


@pytest.fixture
def window(qtbot):
    window = QWidget()
    qtbot.addWidget(window)
    layout = QHBoxLayout(window)
    for widget, name in ((QPushButton("&Play"), ""), (QSpinBox(), "Rep"), (QTableWidget(2, 2), "Steps")):
        widget.setAccessibleName(name)
        layout.addWidget(widget)
    return window


def test_parts_of_a_control_are_named_by_it(window):
    assert name_of(window.findChild(QPushButton)) == "Play"
    assert_accessible(window)


def test_a_control_without_a_name_is_found(window):
    field = QLineEdit()
    window.layout().addWidget(field)
    with pytest.raises(AssertionError, match="QLineEdit"):
        assert_accessible(window)


def test_an_empty_window_proves_nothing(qtbot):
    window = QWidget()
    qtbot.addWidget(window)
    with pytest.raises(AssertionError, match="nothing to name"):
        assert_accessible(window)
