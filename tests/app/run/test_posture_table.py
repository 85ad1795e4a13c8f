"""The posture table: every measure in one cell, with its interval or its reason, and a way to the film."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication

from analysis.report.posture_rows import QUESTIONS, PostureCells
from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FrameNumber
from analysis.values.posture import Moment, PostureReading
from analysis.values.run import Side
from app.run.number_cells import ERROR_ROLE, QUIET_ROLE
from app.run.posture_model import PostureModel
from app.run.posture_panel import PosturePanel
from app.run.posture_table import stops_of
from tests.app.run.demo_reading import demo_reading
from tests.helpers.accessible import assert_accessible

REASON = "Place left knee on frame 209."
_Role = Qt.ItemDataRole


def estimate(value, half):
    return Estimate(value, half / 1.96, value - half, value + half)


def invented():
    """Two steps: one touchdown distance that is read, one that is not; toe-off distances say who stands."""
    return (
        PostureReading(
            "trunk_lead_deg",
            0,
            Moment.PUSH,
            None,
            estimate(4, 2),
            (FrameNumber(50), FrameNumber(51), FrameNumber(90)),
        ),
        PostureReading(
            "toe_off_distance_m",
            0,
            Moment.TOE_OFF,
            Side.RIGHT,
            estimate(-0.6, 0.04),
            (FrameNumber(99),),
            guessed=True,
        ),
        PostureReading(
            "touchdown_distance_m",
            1,
            Moment.TOUCHDOWN,
            Side.LEFT,
            estimate(0.05, 0.04),
            (FrameNumber(119), FrameNumber(120)),
        ),
        PostureReading(
            "toe_off_distance_m",
            1,
            Moment.TOE_OFF,
            Side.LEFT,
            estimate(-0.5, 0.04),
            (FrameNumber(150),),
            partial=True,
        ),
        PostureReading("knee_deg", 1, Moment.TOE_OFF, Side.LEFT, estimate(160, 5), (FrameNumber(150),)),
        PostureReading("knee_deg", 1, Moment.TOE_OFF, Side.RIGHT, estimate(90, 5), (FrameNumber(150),)),
        PostureReading(
            "touchdown_distance_m",
            2,
            Moment.TOUCHDOWN,
            Side.RIGHT,
            NoValue(REASON),
            wanted=((FrameNumber(209), "left_knee"), (FrameNumber(209), "left_hip")),
        ),
    )


class Shown:
    """Cells by the header of their row and the number of their step."""

    def __init__(self, model):
        self.model = model

    def index(self, header, step):
        headers = [self.model.headerData(n, Qt.Orientation.Vertical) for n in range(self.model.rowCount())]
        return self.model.index(headers.index(header), step)

    def __call__(self, header, step, role=_Role.DisplayRole):
        return self.index(header, step).data(role)


@pytest.fixture
def model():
    model = PostureModel()
    model.show_posture(invented())
    return model


@pytest.fixture
def panel(qtbot):
    panel = PosturePanel()
    qtbot.addWidget(panel)
    panel.resize(900, 600)
    panel.table._posture.show_posture(invented())
    panel.table._fit()
    with qtbot.waitExposed(panel):
        panel.show()
    return panel


def test_every_measure_of_posture_stands_in_exactly_one_cell():
    reading = demo_reading()
    cells = PostureCells(reading.posture)
    shown = [
        found
        for question in QUESTIONS
        for row in question.rows
        for step in cells.steps
        if (found := cells.at(row, step)) is not None
    ]
    assert len(reading.posture) > 200
    assert sorted(map(id, shown)) == sorted(map(id, reading.posture))


def test_the_model_is_a_proper_one(qtmodeltester, model):
    qtmodeltester.check(model)
    model.show_posture(())
    qtmodeltester.check(model)


def test_a_cell_holds_value_uncertainty_and_interval_and_the_header_the_unit(model):
    shown = Shown(model)
    assert shown("Touchdown distance, m", 1) == "0.05"
    assert shown("Touchdown distance, m", 1, ERROR_ROLE) == "± 0.04"
    assert shown("Touchdown distance, m", 1, _Role.ToolTipRole) == "95 % interval 0.01 to 0.09 m"
    assert shown("Touchdown distance, m", 1, _Role.AccessibleTextRole).startswith(
        "Step 1, left, Touchdown distance 0.05 ± 0.04 m"
    )
    assert shown("Trunk lead, °", 0) == "4"
    assert shown("Trunk lead, °", 1) is None


def test_the_leg_that_stands_is_told_from_the_one_that_swings(model):
    shown = Shown(model)
    assert shown("Knee, stance, toe-off, °", 1) == "160"
    assert shown("Knee, swing, toe-off, °", 1) == "90"


def test_a_guess_is_written_fainter_and_said(model):
    shown = Shown(model)
    assert shown("Toe-off distance, m", 0, QUIET_ROLE)
    assert "guessed" in shown("Toe-off distance, m", 0, _Role.ToolTipRole)
    assert not shown("Toe-off distance, m", 1, QUIET_ROLE)
    assert "Partial" in shown("Toe-off distance, m", 1, _Role.AccessibleTextRole)


def test_a_missing_number_says_which_points_would_give_it_and_what_they_cost(model):
    shown = Shown(model)
    assert shown("Touchdown distance, m", 2) == "–"
    words = shown("Touchdown distance, m", 2, _Role.AccessibleTextRole)
    assert REASON in words
    assert "2 clicks" in words


def test_a_click_goes_to_the_frames_one_after_the_other(panel, qtbot):
    asked, chosen = [], []
    panel.frame_requested.connect(asked.append)
    panel.chosen.connect(chosen.append)
    index = Shown(panel.table.model()).index("Trunk lead, °", 0)
    place = panel.table.visualRect(index).center()
    for _ in range(3):
        qtbot.mouseClick(panel.table.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(place))
    assert asked == [90, 51, 90]
    assert {one.measure for one in chosen} == {"trunk_lead_deg"}


def test_return_on_a_missing_number_goes_to_where_a_point_is_wanted(panel, qtbot):
    asked = []
    panel.frame_requested.connect(asked.append)
    panel.table.setCurrentIndex(Shown(panel.table.model()).index("Touchdown distance, m", 2))
    qtbot.keyClick(panel.table, Qt.Key.Key_Return)
    assert asked == [209]
    assert REASON in panel.wanted.words


def test_rows_are_copied_with_their_uncertainty(panel, qtbot):
    panel.table.setCurrentIndex(Shown(panel.table.model()).index("Touchdown distance, m", 1))
    qtbot.keyClick(panel.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    head, row = QGuiApplication.clipboard().text().splitlines()
    assert head.split("\t")[:4] == ["measure", "unit", "start", "± start"]
    assert row.split("\t") == ["Touchdown distance", "m", "", "", "0.05", "0.04", "", ""]


def test_frames_that_follow_each_other_are_one_stop():
    frames = tuple(FrameNumber(n) for n in (30, 31, 32, 80, 81, 120))
    assert stops_of(PostureReading("x", 1, Moment.PUSH, None, estimate(1, 1), frames)) == [120, 81, 32]


def test_names_for_screen_readers(panel):
    assert_accessible(panel)


def test_an_empty_table_says_what_to_do(qtbot):
    panel = PosturePanel()
    qtbot.addWidget(panel)
    panel.show_reading(None)
    assert panel.table.model().rowCount() == 0
    assert "body points" in panel.table._when_empty()
