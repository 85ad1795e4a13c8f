"""The speed chart. Its numbers are written by hand: hips that go at 4 m/s from 0.103 s on, a film of 100
frames a second; so places, times and frames follow by arithmetic.
"""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QColor

from analysis.values.reading import HipPlace, SpeedBand
from app.charts.speed import SpeedChart
from app.charts.speed_shown import speed_shown
from app.theme.apply import apply_theme
from app.theme.tokens import LIGHT, THEMES
from tests.app.rail.invented import a_film, a_reading, a_run
from tests.helpers.accessible import assert_accessible

ZERO_S = 0.1
BAND = SpeedBand((0.2, 0.6, 1.3), (0.388, 1.988, 4.788), (3.0, 5.0, 6.0), (2.8, 4.8, 5.8), (3.2, 5.2, 6.2))


def with_speed():
    path = tuple(HipPlace(n / 10, 4 * (n / 10 - 0.103)) for n in range(2, 15))
    return replace(a_reading(a_run()), path=path, speed_band=BAND)


@pytest.fixture
def chart(qapp, qtbot):
    apply_theme(qapp, LIGHT)
    chart = SpeedChart()
    qtbot.addWidget(chart)
    chart.resize(700, 360)
    chart.show_reading(with_speed(), a_film(a_run()), ZERO_S)
    with qtbot.waitExposed(chart):
        chart.show()
    return chart


def test_steps_stand_in_the_middle_between_their_touchdowns_on_both_axes():
    step = speed_shown(with_speed(), a_film(a_run())).points[0]
    # touchdowns on frames 40 and 60: 0.395 and 0.595 s
    assert (step.at_s, step.half_s) == pytest.approx((0.495, 0.1))
    assert (step.at_m, step.half_m) == pytest.approx((4 * (0.495 - 0.103), 0.4))
    assert (step.number.value, step.frame) == (5.18, 40)


def test_a_place_stands_where_the_hips_pass_it():
    shown = speed_shown(with_speed(), a_film(a_run()))
    assert [(t.at_m, t.at_s) for t in shown.ticks] == [
        (5.0, pytest.approx(5 / 4 + 0.103))
    ]  # 10 m is not reached
    assert (shown.points[-1].side, shown.points[-1].frame) == (None, 135)


def test_hips_that_go_back_do_not_turn_the_way_round():
    path = (*with_speed().path, HipPlace(1.5, 5.0), HipPlace(1.6, 6.0))
    shown = speed_shown(replace(with_speed(), path=path), a_film(a_run()))
    assert shown.seconds_at(5.188) == pytest.approx(1.4)
    assert shown.seconds_at(6.0) == pytest.approx(1.6)


@pytest.mark.parametrize(("distance", "across", "frame"), [(False, 0.753, 85), (True, 3.0, 85)])
def test_a_click_goes_to_the_frame_at_that_moment_or_place(qtbot, chart, distance, across, frame):
    chart._over_distance.setChecked(distance)
    place = chart._pixel(across, 0.5).toPoint()
    with qtbot.waitSignal(chart.frame_requested) as caught:
        qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert abs(caught.args[0] - frame) <= 1  # a pixel is some 2 ms wide


def test_a_click_on_a_step_goes_to_its_touchdown(qtbot, chart):
    place = chart.place_of(chart.points[1]).toPoint()
    with qtbot.waitSignal(chart.frame_requested) as caught:
        qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert caught.args == [60]


def test_a_click_where_the_hips_never_are_does_nothing(qtbot, chart):
    chart._over_distance.setChecked(True)
    with qtbot.assertNotEmitted(chart.frame_requested):
        place = chart._pixel(0.35, 0.5).toPoint()
        qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=place)


def test_the_playhead_goes_with_the_film_on_both_axes(chart):
    chart.set_frame(60)
    assert chart.playhead_at() == pytest.approx(0.5)
    chart._over_distance.setChecked(True)
    assert chart.playhead_at() == pytest.approx(4 * (0.6 - 0.103))
    chart.set_frame(5)  # before the first hip
    assert chart.playhead_at() is None


def test_keys_go_from_point_to_point(qtbot, chart):
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    with qtbot.waitSignal(chart.frame_requested) as caught:
        qtbot.keyClick(chart, Qt.Key.Key_Return)
    assert caught.args == [60]


def test_its_words_say_both_speeds_and_their_difference(chart):
    words = QAccessible.queryAccessibleInterface(chart).text(QAccessible.Text.Description)
    # 6.09 - 6.16 = -0.07
    assert "At 5 m: 6.16 ± 0.16 m/s from the nearby steps, 6.09 ± 0.10 m/s from the whole run: " in words
    assert "Step 1, left, step velocity 5.2 ± 0.2 m/s" in words
    assert_accessible(chart)


def test_without_hips_it_says_what_to_place(qtbot):
    chart = SpeedChart()
    qtbot.addWidget(chart)
    chart.show_reading(a_reading(a_run()), a_film(a_run()))
    assert "place the hips at every touchdown" in chart.text_alternative()
    chart.show_reading(None, None)
    assert "Tag the touchdowns" in chart.text_alternative()


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_it_wears_both_themes(qapp, chart, theme):
    apply_theme(qapp, theme)
    qapp.processEvents()
    picture = chart.grab().toImage()
    at = chart.place_of(chart.points[0]).toPoint()
    at = chart._plot.viewport().mapTo(chart, at) * picture.devicePixelRatio()
    assert picture.pixelColor(at) == QColor(theme.left.fill)
