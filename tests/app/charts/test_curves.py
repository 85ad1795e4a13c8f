"""The chart of posture. Its numbers are written by hand on a film of 100 frames a second, so that times and
frames follow by arithmetic.
"""

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible

from analysis.values.estimate import Estimate
from analysis.values.film import FrameNumber
from analysis.values.posture import MassPath, Moment, PostureReading, Series
from analysis.values.run import Side
from app.charts.curves import CurveChart
from app.charts.curves_shown import CHOICES, curves_shown
from app.theme.apply import apply_theme
from app.theme.tokens import DARK, LIGHT
from tests.app.rail.invented import a_film, a_reading, a_run
from tests.helpers.accessible import assert_accessible

ZERO_S = 0.1
TRUNK, PATH = CHOICES[1], CHOICES[-1]


def series(measure, side, frames, slope):
    frames = np.array(frames, np.int64)
    guessed = np.zeros(len(frames), bool)
    guessed[:3] = True
    return Series(measure, side, frames, 40 + slope * frames, np.full(len(frames), 2.0), guessed)


def with_posture():
    """A trunk that opens by half a degree a frame; a gap in it; a mass that goes 4 cm a frame."""
    trunk = series("trunk_deg", None, [*range(20, 60), *range(70, 90)], 0.5)
    shins = [series("shin_deg", side, range(20, 90), 0.2) for side in Side]
    frames = np.arange(20, 90)
    metres = np.stack([0.04 * frames, 0.9 + 0.001 * frames], axis=1)
    flags = np.zeros(len(frames), bool)
    path = MassPath(frames, 10 * metres, metres, np.full((len(frames), 2), 0.01), flags, flags)
    at_touchdown = PostureReading(
        "trunk_deg", 1, Moment.TOUCHDOWN, None, Estimate(60, 2, 56, 64), (FrameNumber(39), FrameNumber(40))
    )
    return replace(a_reading(a_run()), series=(trunk, *shins), mass_path=path, posture=(at_touchdown,))


@pytest.fixture
def chart(qapp, qtbot):
    apply_theme(qapp, LIGHT)
    chart = CurveChart()
    qtbot.addWidget(chart)
    chart.resize(700, 360)
    chart.show_reading(with_posture(), a_film(a_run()), ZERO_S)
    with qtbot.waitExposed(chart):
        chart.show()
    return chart


def chosen(chart, choice, qtbot):
    """Choose with the keys of the box."""
    box = chart._choice
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    for _ in range(CHOICES.index(choice)):
        qtbot.keyClick(box, Qt.Key.Key_Down)
    assert chart.choice is choice


def test_a_curve_has_a_line_for_each_stretch_of_frames_and_none_over_a_gap():
    curve = curves_shown(with_posture(), a_film(a_run()), TRUNK).curves[0]
    assert [(curve.frames[s][0], curve.frames[s][-1]) for s in curve.stretches()] == [(20, 59), (70, 89)]
    assert curve.half == pytest.approx(1.96 * 2.0)
    assert curve.across[0] == pytest.approx(0.2)


def test_sides_are_told_and_events_stand_at_their_frames():
    shown = curves_shown(with_posture(), a_film(a_run()), CHOICES[0])
    assert [curve.side for curve in shown.curves] == [None, Side.LEFT, Side.RIGHT]
    down = next(e for e in shown.events if e.touchdown)
    assert (down.frame, down.across, down.step) == (40, pytest.approx(0.4), 1)


def test_over_place_an_event_stands_where_the_mass_is():
    shown = curves_shown(with_posture(), a_film(a_run()), PATH)
    down = next(e for e in shown.events if e.touchdown)
    assert down.across == pytest.approx(0.04 * 40)
    assert shown.frame_at(2.01) == 50
    assert shown.across_at(10) is None


def test_the_playhead_counts_as_the_rail_does(chart, qtbot):
    chart.set_frame(50)
    assert chart.playhead_at() == pytest.approx(0.5 - ZERO_S)
    chosen(chart, PATH, qtbot)
    assert chart.playhead_at() == pytest.approx(0.04 * 50)


def test_a_click_beside_the_points_goes_to_the_frame_at_that_moment(chart, qtbot):
    chosen(chart, TRUNK, qtbot)
    asked = []
    chart.frame_requested.connect(asked.append)
    place = chart._pixel(0.55 - ZERO_S, 56.0).toPoint()
    qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert asked == [pytest.approx(55, abs=1)]


def test_keys_go_through_the_numbers_at_the_events(chart, qtbot):
    asked = []
    chart.frame_requested.connect(asked.append)
    chart.setFocus()
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    assert "Trunk, touchdown of step 1 60 ± 4°" in chart.accessibleDescription()
    qtbot.keyClick(chart, Qt.Key.Key_Return)
    assert asked == [40]


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_band_curve_and_guess_are_drawn(chart, qapp, qtbot, theme):
    """By colour: the band is neither surface nor line."""
    apply_theme(qapp, theme)
    chosen(chart, TRUNK, qtbot)
    picture = chart._plot.grab().toImage()
    middle = chart._pixel(0.5 - ZERO_S, 65.0).toPoint()
    beside = chart._pixel(0.5 - ZERO_S, 65.0 + 3.0).toPoint()
    away = chart._pixel(0.5 - ZERO_S, 65.0 + 9.0).toPoint()
    line, band, bare = (picture.pixelColor(p).lightness() for p in (middle, beside, away))
    assert abs(line - bare) > 100
    assert 5 < abs(band - bare) < abs(line - bare)


def test_a_measure_of_which_nothing_is_known_says_what_to_place(chart, qtbot):
    chosen(chart, next(c for c in CHOICES if "knee_deg" in c.measures), qtbot)
    assert chart._unread.isVisible()
    assert "Place the points" in chart._unread.text()


def test_without_a_body_the_chart_says_what_to_do(chart):
    chart.show_reading(a_reading(a_run()), a_film(a_run()))
    assert not chart._plot.isVisible()
    assert "Place body points" in chart.text_alternative()


def test_names_for_screen_readers(chart):
    assert_accessible(chart)
    said = QAccessible.queryAccessibleInterface(chart)
    assert "Posture over time" in said.text(QAccessible.Text.Name)
