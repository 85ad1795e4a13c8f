"""Posture beside the film: the table, and the way from a number to the frames that it rests on."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QToolButton


@pytest.fixture
def demo(coach, window):
    """A coach in front of the demo project, whose first run has a followed body."""
    assert window.open_demo()
    coach.wait_for_picture()
    return coach


def cell(table, header, step):
    """The index of a measure by its header and of a step, 0 for the start."""
    model = table.model()
    headers = [model.headerData(n, Qt.Orientation.Vertical) for n in range(model.rowCount())]
    return model.index(headers.index(header), step)


def test_a_click_on_a_number_shows_the_frame_that_it_rests_on(demo, qtbot):
    workspace = demo.workspace
    workspace.panels.show_panel(workspace.posture)
    table = workspace.posture.table
    index = cell(table, "Touchdown distance, m", 1)
    table.scrollTo(index)
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=table.visualRect(index).center())
    demo.wait_for(demo.bench.run.footfalls[0].touchdown)


def test_table_and_strip_stand_in_one_tab(demo, qtbot):
    workspace = demo.workspace
    workspace.panels.show_panel(workspace.posture)
    assert workspace.posture.isVisible()
    buttons = {b.text(): b for b in workspace.panels.under.findChildren(QToolButton)}
    qtbot.mouseClick(buttons["Strip"], Qt.MouseButton.LeftButton)
    assert workspace.strip.isVisible()
    assert not workspace.posture.isVisible()
    workspace.panels.show_panel(workspace.posture)
    assert workspace.posture.isVisible()
    assert buttons["Table"].isChecked()
