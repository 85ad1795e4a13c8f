"""The step table: real cells for every number, goes to touchdowns, copies for a spreadsheet."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QGuiApplication

from analysis.report.step_columns import MEASURES
from app.run.number_cells import ERROR_ROLE
from app.run.step_model import FIRST_MEASURE, StepModel
from app.run.step_table import StepTable
from app.theme.apply import apply_theme
from app.theme.tokens import THEMES
from tests.app.rail.invented import REASON, a_reading, a_run


@pytest.fixture
def table(qtbot):
    table = StepTable()
    qtbot.addWidget(table)
    table.resize(900, 300)
    table.show_reading(a_reading(a_run()))
    with qtbot.waitExposed(table):
        table.show()
    return table


def column_of(field):
    return FIRST_MEASURE + [c.field for c in MEASURES].index(field)


def cell(table, row, field, role=Qt.ItemDataRole.DisplayRole):
    model = table.model()
    return model.data(model.index(row, column_of(field)), role)


@pytest.mark.parametrize("steps", [0, 1, 4, 30])
def test_the_model_is_a_proper_one(qtmodeltester, steps):
    model = StepModel()
    model.show_steps(a_reading(a_run(steps)).steps)
    qtmodeltester.check(model)


def test_the_model_stays_proper_while_steps_come_and_go(qtmodeltester):
    model = StepModel()
    qtmodeltester.check(model)
    for steps in (3, 3, 5, 1, 0):
        model.show_steps(a_reading(a_run(steps)).steps)
        assert model.rowCount() == steps


def test_a_cell_holds_value_uncertainty_and_interval(table):
    assert cell(table, 1, "contact_s") == "165"
    assert cell(table, 1, "contact_s", ERROR_ROLE) == "± 9"
    assert cell(table, 1, "contact_s", Qt.ItemDataRole.ToolTipRole) == (
        "95 % interval 156 to 174 ms. Cannot be told apart from step 1."
    )
    assert cell(table, 1, "contact_s", Qt.ItemDataRole.AccessibleTextRole) == (
        "Step 2, contact 165 ± 9 ms, 95 % interval 156 to 174 ms. Cannot be told apart from step 1."
    )
    assert cell(table, 0, "step_length_m") == "1.23"


def test_a_missing_number_says_why(table):
    assert cell(table, 3, "flight_s") == "–"
    assert cell(table, 3, "flight_s", Qt.ItemDataRole.ToolTipRole) == REASON
    assert (
        cell(table, 3, "flight_s", Qt.ItemDataRole.AccessibleTextRole)
        == f"Step 4, flight: no number. {REASON}"
    )


def test_figures_stand_to_the_right_and_headers_name_the_unit(table):
    for column in range(FIRST_MEASURE, table.model().columnCount()):
        align = table.model().data(table.model().index(0, column), Qt.ItemDataRole.TextAlignmentRole)
        assert align & Qt.AlignmentFlag.AlignRight
    head = [
        table.model().headerData(n, Qt.Orientation.Horizontal, Qt.ItemDataRole.AccessibleTextRole)
        for n in range(table.model().columnCount())
    ]
    assert head == [
        "Step",
        "Contact ms",
        "Flight ms",
        "Step time ms",
        "Frequency Hz",
        "Length m",
        "Velocity m/s",
        "Flight to contact",
        "Shin at touchdown °",
        "Trunk at touchdown °",
    ]


def test_a_click_goes_to_the_touchdown(qtbot, table):
    place = table.visualRect(table.model().index(2, column_of("flight_s"))).center()
    with qtbot.waitSignal(table.frame_requested) as caught:
        qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert caught.args == [80]


def test_return_goes_to_the_touchdown(qtbot, table):
    table.selectRow(1)
    with qtbot.waitSignal(table.frame_requested) as caught:
        qtbot.keyClick(table, Qt.Key.Key_Return)
    assert caught.args == [60]


@pytest.mark.parametrize(("frame", "row"), [(0, None), (39, None), (40, 0), (59, 0), (60, 1), (140, 3)])
def test_the_step_of_the_frame_is_marked_and_asks_for_nothing(qtbot, table, frame, row):
    table.set_frame(100)
    with qtbot.assertNotEmitted(table.frame_requested):
        table.set_frame(frame)
    assert [index.row() for index in table.selectionModel().selectedRows()] == ([] if row is None else [row])


def test_rows_picked_for_copying_stay_picked_while_the_film_runs(table):
    table.selectAll()
    table.set_frame(60)
    assert len(table.selectionModel().selectedRows()) == 4


def test_ctrl_c_copies_tab_separated_rows(qtbot, table):
    table.selectRow(1)
    qtbot.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    head, line = QGuiApplication.clipboard().text().splitlines()
    copied = dict(zip(head.split("\t"), line.split("\t"), strict=True))
    assert copied["step"] == "2"
    assert copied["side"] == "right"
    assert copied["contact ms"] == "165"
    assert copied["± contact ms"] == "9"
    assert copied["velocity m/s"] == "5.18"
    assert copied["trunk at touchdown °"] == ""


def test_a_missing_number_is_an_empty_cell_in_the_copy(qtbot, table):
    table.clearSelection()
    table.copying.copy()
    lines = QGuiApplication.clipboard().text().splitlines()
    assert len(lines) == 5
    assert lines[4].split("\t")[4:6] == ["", ""]


def test_without_a_reading_it_says_what_to_do(qtbot):
    table = StepTable()
    qtbot.addWidget(table)
    table.resize(500, 200)
    bare = table.grab().toImage()
    table.show_reading(a_reading(a_run()))
    table.show_reading(None)
    assert table.model().rowCount() == 0
    assert table.grab().toImage() == bare


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_no_number_is_cut_at_any_size_of_text(qapp, qtbot, theme, scale):
    apply_theme(qapp, theme, scale)
    table = StepTable()
    qtbot.addWidget(table)
    table.show_reading(a_reading(a_run()))
    table.resize(1200, 500)
    table.show()
    metrics = table.fontMetrics()
    for row in range(table.model().rowCount()):
        assert table.rowHeight(row) >= metrics.height()
        for column in range(table.model().columnCount()):
            index = table.model().index(row, column)
            words = f"{index.data()} {index.data(ERROR_ROLE) or ''}".strip()
            assert table.columnWidth(column) >= metrics.horizontalAdvance(words) * 0.9
    header = table.horizontalHeader()
    for column in range(table.model().columnCount()):
        assert header.sectionSize(column) >= header.sectionSizeFromContents(column).width()


def test_a_screen_reader_finds_a_table_with_a_name(table):
    interface = QAccessible.queryAccessibleInterface(table)
    assert interface.role() == QAccessible.Role.Table
    assert interface.text(QAccessible.Text.Name) == "Step table"
    cells = [interface.child(n) for n in range(interface.childCount())]
    said = [cell.text(QAccessible.Text.Name) for cell in cells if cell is not None]
    words = "Step 2, contact 165 ± 9 ms, 95 % interval 156 to 174 ms. Cannot be told apart from step 1."
    assert words in said
