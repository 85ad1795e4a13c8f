"""The rhythm chart."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QColor

from analysis.values.answers import Break, Rhythm
from analysis.values.estimate import NoValue
from analysis.values.reading import PairReading
from app.charts.rhythm import RhythmChart
from app.charts.rhythm_shown import LENGTH, VELOCITY, rhythm_points
from app.theme.apply import apply_theme
from app.theme.tokens import LIGHT, THEMES
from tests.app.rail.invented import a_reading, a_run, number


@pytest.fixture
def chart(qapp, qtbot):
    apply_theme(qapp, LIGHT)
    chart = RhythmChart()
    qtbot.addWidget(chart)
    chart.resize(700, 360)
    chart.show_reading(a_reading(a_run()))
    with qtbot.waitExposed(chart):
        chart.show()
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
    assert points[2].shown.value == pytest.approx(165)


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
    ratio = image.devicePixelRatio()
    # the second contact can't be told apart from the first, the third can from the second
    for step, wanted in ((1, theme.left.fill), (2, theme.outline), (3, theme.left.fill)):
        contact = chart.place_of(step, "contact").toPoint()
        colour = image.pixelColor(round(contact.x() * ratio), round(contact.y() * ratio))
        apart = [abs(a - b) for a, b in zip(colour.getRgb(), QColor(wanted).getRgb(), strict=True)]
        assert max(apart) <= 12, "but for smoothing"


def test_length_and_velocity_are_a_key_away(qtbot, chart):
    chart.set_frame(70)
    for choice, words in (
        (LENGTH, "step length 1.23 ± 0.05 m"),
        (VELOCITY, "step velocity 5.2 ± 0.2 m/s"),
    ):
        qtbot.keyClick(chart.choices, Qt.Key.Key_Down)
        assert chart.choice is choice
        assert chart.accessibleName() == choice.name
        assert f"Step 2, right, {words}" in chart.accessibleDescription()
        assert len(chart.text_alternative().splitlines()) == 3  # the last step has neither
        assert chart.playhead_at() == pytest.approx(2.5)
        with qtbot.waitSignal(chart.frame_requested) as caught:
            click(qtbot, chart, 3, choice.measures[0][1])
        assert caught.args == [80]


def test_what_cannot_be_told_apart_and_what_breaks_is_in_each_point():
    pairs = (
        PairReading("step_velocity_m_s", 1, 2, number(0.1, 0.3), False),
        PairReading("step_velocity_m_s", 2, 3, number(-0.5, 0.2), True, True),
    )
    broken = Break("step_velocity_m_s", 2, 3, pairs[1].difference, (60, 80))
    reading = replace(a_reading(a_run(), pairs), rhythm=Rhythm((broken,), (), ()))
    points = rhythm_points(reading, VELOCITY)
    assert [(p.told, p.breaks) for p in points] == [(True, False), (False, False), (True, True)]
    assert points[2].words.endswith("A break of the rhythm.")
    assert not any(p.breaks for p in rhythm_points(reading, LENGTH))


def test_without_marks_length_says_what_to_do_and_times_stay_a_key_away(qtbot, chart):
    reading = a_reading(a_run())
    steps = tuple(replace(step, step_length_m=NoValue("No scale.")) for step in reading.steps)
    chart.show_reading(replace(reading, steps=steps))
    qtbot.keyClick(chart.choices, Qt.Key.Key_Down)
    assert chart.text_alternative() == LENGTH.lacking
    assert chart.playhead_at() is None
    qtbot.keyClick(chart.choices, Qt.Key.Key_Up)
    assert len(chart.text_alternative().splitlines()) == 7


def test_a_break_wears_the_colour_of_a_warning(chart):
    reading = a_reading(a_run())
    assert not _warned(chart, 3)
    broken = Break("contact_s", 2, 3, reading.pairs[1].difference, (60, 80))
    chart.show_reading(replace(reading, rhythm=Rhythm((broken,), (), ())))
    assert _warned(chart, 3)
    assert not _warned(chart, 2)


def _warned(chart, step):
    """Whether the colour of a warning is around a contact."""
    place, image = chart.place_of(step, "contact").toPoint(), chart._plot.grab().toImage()
    around = [(place.x() + x, place.y() + y) for x in range(-12, 13) for y in range(-12, 13)]
    return QColor(LIGHT.warning) in [image.pixelColor(*at) for at in around]


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
