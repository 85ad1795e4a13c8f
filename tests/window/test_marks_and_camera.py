"""The tabs Marks and Camera: every number of a mark, which map serves, what was measured of the camera."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit

from analysis.report.marks import RESIDUAL_TIMES
from analysis.values.command import Kind
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import GROUND_PX


@pytest.fixture
def table(marked):
    """The table of marks on show, with marks at 0, 5 and 10 m."""
    marked.workspace.panels.show_panel(marked.workspace.marks)
    table = marked.workspace.marks.table
    marked.qtbot.waitUntil(table.isVisible)
    table.setFocus()
    return table


@pytest.fixture
def camera(marked):
    """The tab Camera on show."""
    marked.workspace.panels.show_panel(marked.workspace.camera)
    marked.qtbot.waitUntil(marked.workspace.camera.isVisible)
    return marked.workspace.camera


def write(qtbot, table, row: int, column: int, text: str) -> None:
    """Type into a cell: the first key opens its field."""
    table.setCurrentCell(row, column)
    qtbot.keyClick(table, text[0])
    (field,) = table.viewport().findChildren(QLineEdit)
    qtbot.keyClicks(field, text[1:])
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not table.viewport().findChildren(QLineEdit))


def tell(qtbot, field: QLineEdit, text: str) -> None:
    """Write over a field and press Enter."""
    field.setFocus()
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


@pytest.mark.parametrize(
    ("column", "field", "typed", "stored"),
    [
        (1, "y_m", "1.2", 1.2),
        (2, "z_m", "-1,5", -1.5),
        (3, "error_m", "0.05", 0.05),
        (4, "error_px", "2", 2.0),
    ],
)
def test_each_number_of_a_mark_is_changed_and_undone(marked, table, qtbot, column, field, typed, stored):
    before = marked.bench.run.marks[2]
    write(qtbot, table, 2, column, typed)
    mark = next(m for m in marked.bench.run.marks if m.id == before.id)
    assert getattr(mark, field) == stored
    marked.press("Ctrl+Z")
    assert marked.bench.run.marks[2] == before


@pytest.mark.parametrize(
    ("column", "typed", "sentence"), [(3, "-1", "can't be right"), (4, "0", "can't be right")]
)
def test_an_error_below_nothing_is_refused(marked, table, qtbot, column, typed, sentence):
    write(qtbot, table, 1, column, typed)
    assert sentence in marked.notice
    assert marked.bench.stack.count() == 0


def test_a_mark_that_is_off_shows_how_far_in_the_table_and_on_the_picture(marked, table):
    # three marks with one spacing in pixels lie on the map exactly; 12 px up, no straight line holds them
    assert [table.item(row, 5).text() for row in range(3)] == ["0.0", "0.0", "0.0"]
    marked.drag((160.0, GROUND_PX), (160.0, GROUND_PX - 12))
    # least squares of a line through (-1, 0), (0, -12), (1, 0): it lies at -4, so they are off by 4, 8, 4
    assert [float(table.item(row, 5).text()) for row in range(3)] == pytest.approx([4, 8, 4], abs=0.5)
    strokes = {s.id: s for s in marked.view._scene.strokes if s.kind is Kind.MARK}
    middle = strokes["m5:off"]
    assert middle.start == pytest.approx((160.0, GROUND_PX - 12), abs=0.01)
    assert middle.end[1] - middle.start[1] == pytest.approx(8 * RESIDUAL_TIMES, abs=0.5 * RESIDUAL_TIMES)


def test_which_map_serves_and_what_is_missing_follow_the_marks(marked, table, qtbot):
    panel = marked.workspace.marks
    # the kinds of docs/measures.md: two marks one scale, three the line, four (no three in a line) the plane
    assert "running line" in panel.chosen.text()
    assert "second height" in panel.missing.text()
    assert "measure the distance" in panel.missing.text()
    table.setCurrentCell(1, 0)
    qtbot.keyClick(table, Qt.Key.Key_Delete)
    assert "One scale" in panel.chosen.text()
    assert "third mark" in panel.missing.text()
    marked.press("M")
    marked.mark(20.0, 60.0, 0.0, 1.5)
    marked.mark(300.0, 60.0, 10.0, 1.5)
    assert "plane" in panel.chosen.text()
    assert "tilt" not in panel.missing.text()


def test_without_marks_it_is_said_what_would_give_a_scale(marked, table, qtbot):
    for _ in range(3):
        table.setCurrentCell(0, 0)
        qtbot.keyClick(table, Qt.Key.Key_Delete)
    panel = marked.workspace.marks
    assert panel.empty.isVisible()
    assert "No scale" in panel.chosen.text()
    assert "stature" in panel.why.text()


def test_the_camera_stands_in_numbers_with_their_errors(marked, camera):
    rows = {row.name: row for row in camera.numbers._section.rows}
    # the marks of this film lie level, in a straight row
    assert rows["Roll, rising to the right"].text.startswith("0")
    assert rows["Bend of the row of marks"].text.startswith("0")
    assert "±" in rows["Distance to the line"].text
    assert rows["Tilt, up"].missing
    assert "two heights" in camera.reasons.text()


def test_the_lane_of_the_athlete_is_told_and_taken_back(marked, camera, qtbot):
    tell(qtbot, camera.nearer, "-0,4")
    tell(qtbot, camera.nearer_u, "0.1")
    assert (marked.bench.run.lane_offset_m, marked.bench.run.lane_offset_u_m) == (-0.4, 0.1)
    tell(qtbot, camera.nearer, "")
    assert marked.bench.run.lane_offset_m is None
    marked.press("Ctrl+Z", 3)
    assert (marked.bench.run.lane_offset_m, marked.bench.run.lane_offset_u_m) == (None, None)
    assert camera.nearer.text() == ""


@pytest.mark.parametrize("typed", ["x", "50"])
def test_a_lane_that_can_not_be_is_refused(marked, camera, qtbot, typed):
    tell(qtbot, camera.nearer, typed)
    assert "can't be right" in marked.notice
    assert marked.bench.stack.count() == 0
    assert camera.nearer.text() == ""


def test_the_athlete_is_told_in_the_tab_run(marked, qtbot):
    marked.workspace.panels.show_panel(marked.workspace.facts)
    form, bench = marked.workspace.facts.athlete, marked.bench
    tell(qtbot, form.stature, "1.74")
    (athlete,) = bench.project.athletes.values()
    assert bench.run.athlete_id == athlete.id
    assert form.code.text() == athlete.code
    tell(qtbot, form.code, "R7")
    tell(qtbot, form.mass, "64,5")
    form.sex.setFocus()
    qtbot.keyClick(form.sex, Qt.Key.Key_Down)
    qtbot.keyClick(form.sex, Qt.Key.Key_Return)
    (athlete,) = bench.project.athletes.values()
    assert (athlete.code, athlete.stature_m, athlete.mass_kg) == ("R7", 1.74, 64.5)
    assert athlete.sex == "female"
    marked.press("Ctrl+Z", bench.stack.count())
    assert not bench.project.athletes
    assert bench.run.athlete_id is None


def test_every_control_has_a_name(marked):
    assert_accessible(marked.window)
