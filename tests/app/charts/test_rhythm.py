"""The rhythm chart."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QColor

from app.charts.rhythm import RhythmChart, rhythm_points
from app.theme.apply import apply_theme
from app.theme.tokens import LIGHT, THEMES
from tests.app.rail.invented import a_reading, a_run


@pytest.fixture
def chart(qapp, qtbot):
    apply_theme(qapp, LIGHT)
    chart = RhythmChart()
    qtbot.addWidget(chart)
    chart.resize(700, 360)
    chart.show_reading(a_reading(a_run()))
    chart.show()
    qtbot.waitExposed(chart)
    return chart


def click(qtbot, chart, step, measure):
    place = chart.place_of(step, measure).toPoint()
    qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=place)


def test_every_number_of_the_reading_is_a_point():
    points = rhythm_points(a_reading(a_run()))
    assert [(p.step, p.measure) for p in points] == [
        (1, "contact"),
        (1, "flight"),
        (2, "contact"),
        (2, "flight"),
        (3, "contact"),
        (3, "flight"),
        (4, "contact"),
    ]
    assert points[2].value_ms == pytest.approx(165)


@pytest.mark.parametrize(
    ("step", "measure", "frame"), [(2, "contact", 60), (2, "flight", 72), (4, "contact", 100)]
)
def test_a_click_on_a_point_goes_to_its_frame(qtbot, chart, step, measure, frame):
    with qtbot.waitSignal(chart.frame_requested) as caught:
        click(qtbot, chart, step, measure)
    assert caught.args == [frame]


@pytest.mark.parametrize(
    ("frame", "column"),
    [(39, None), (40, 1.0), (50, 1.5), (60, 2.0), (75, 2.75), (100, 4.0), (112, 4.0), (113, None)],
)
def test_the_playhead_goes_from_touchdown_to_touchdown(chart, frame, column):
    """The steps begin on frames 40, 60, 80 and 100; the last foot is off the ground on frame 112."""
    chart.set_frame(frame)
    assert chart.playhead_at() == (None if column is None else pytest.approx(column))


def test_the_playhead_stands_right_when_the_chart_comes_to_sight(chart):
    chart.hide()
    chart.set_frame(70)
    chart.show()
    assert chart.playhead_at() == pytest.approx(2.5)
    chart.show_reading(None)
    assert chart.playhead_at() is None


def test_a_click_beside_the_points_does_nothing(qtbot, chart):
    with qtbot.assertNotEmitted(chart.frame_requested):
        qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(5, 5))


def test_keys_go_from_point_to_point(qtbot, chart):
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    with qtbot.waitSignal(chart.frame_requested) as caught:
        qtbot.keyClick(chart, Qt.Key.Key_Return)
    assert caught.args == [60]
    qtbot.keyClick(chart, Qt.Key.Key_Left)
    with qtbot.waitSignal(chart.frame_requested) as caught:
        qtbot.keyClick(chart, Qt.Key.Key_Return)
    assert caught.args == [52]


def test_its_text_says_what_it_shows(chart):
    interface = QAccessible.queryAccessibleInterface(chart)
    assert interface.text(QAccessible.Text.Name) == "Rhythm: contact and flight time by step"
    words = interface.text(QAccessible.Text.Description)
    assert "Step 2, right, contact 165 ± 9 ms, 95 % interval 156 to 174 ms" in words
    assert len(words.splitlines()) == 7


def test_without_steps_it_says_what_to_do(qtbot):
    chart = RhythmChart()
    qtbot.addWidget(chart)
    assert "Mark two footfalls" in chart.accessibleDescription()
    chart.show_reading(a_reading(a_run(0)))
    assert "Mark two footfalls" in chart.text_alternative()
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    with pytest.raises(KeyError):
        chart.place_of(1, "contact")


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_it_wears_the_theme(qapp, chart, theme):
    apply_theme(qapp, theme)
    image = chart._plot.grab().toImage()
    assert image.pixelColor(2, 2).name().upper() == theme.surface
    contact = chart.place_of(2, "contact").toPoint()
    ratio = image.devicePixelRatio()
    colour = image.pixelColor(round(contact.x() * ratio), round(contact.y() * ratio))
    wanted = QColor(theme.right.fill)
    apart = [abs(a - b) for a, b in zip(colour.getRgb(), wanted.getRgb(), strict=True)]
    assert max(apart) <= 12, "but for smoothing"


def test_the_last_of_thirty_steps_is_within_the_chart(qtbot, chart):
    chart.show_reading(a_reading(a_run(30)))
    place = chart.place_of(30, "contact")
    assert 0 < place.x() < chart._plot.viewport().width()
    assert 0 < place.y() < chart._plot.viewport().height()


def test_every_curve_is_a_pixel_wide(chart):
    """A wider line costs a hundred times as much to paint."""
    curves = chart._plot.listDataItems()
    widths = [c.opts["pen"].width() for c in curves if c.opts.get("pen") is not None and hasattr(c, "curve")]
    assert widths
    assert set(widths) == {1}
