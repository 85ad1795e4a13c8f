"""The charts of both demo runs beside their films: playheads, clicks, what stays grey."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from analysis.reading.compare import compare
from analysis.values.comparison import Claim, MeasureKey
from app.compare.pair_drawing import colour_of
from app.theme.apply import current_theme
from tests.helpers.accessible import assert_accessible
from tests.window.comparing import ComparingCoach


@pytest.fixture
def charting(qtbot, window):
    """The demo project's two runs side by side at touchdown 3, their charts beside them."""
    assert window.open_demo()
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    coach.upper.pane.go_to(coach.upper.look.reading.steps[2].touchdown)
    coach.press("O")
    coach.press("Ctrl+I", 2)
    coach.charts = window.compare_workspace.beside.charts
    assert coach.charts.isVisible()
    coach.frames()
    return coach


def test_playheads_stand_where_both_films_are_and_go_along(charting):
    contact = charting.charts.four[0]
    assert contact.playheads_at() == pytest.approx((3.0, 3.0))
    charting.press("Shift+Right", 2)
    upper, lower = charting.frames()
    steps = [side.look.reading.steps for side in (charting.upper, charting.lower)]
    shares = [
        3 + (frame - s[2].touchdown) / (s[3].touchdown - s[2].touchdown)
        for frame, s in zip((upper, lower), steps, strict=True)
    ]
    assert contact.playheads_at() == pytest.approx(shares)


def test_a_step_that_differs_has_its_runs_colour_and_all_else_is_grey(charting):
    readings = [side.look.reading for side in (charting.upper, charting.lower)]
    rows = compare(readings[:1], readings[1:])
    theme = current_theme()
    seen = set()
    for point in charting.charts.four[0].shown.points:
        claim = rows.row(MeasureKey("contact_s", step=round(point.across))).claim
        wanted = {True: theme.lower, False: theme.upper}[point.lower]
        assert colour_of(point, theme) == (wanted if claim is Claim.DIFFERS else theme.outline)
        seen.add(claim)
    assert seen == {Claim.DIFFERS, Claim.UNTOLD}
    assert_accessible(charting.charts)


def test_keys_go_to_a_number_and_return_to_its_frame_of_its_own_film(charting):
    chart = charting.charts.four[0]
    chart.setFocus()
    charting.press("Down", 2, on=chart)  # the lower run's first step
    charting.press("Return", on=chart)
    assert charting.frames()[1] == charting.lower.look.reading.steps[0].touchdown


def test_an_angle_is_laid_anew_when_the_films_are(charting):
    charts = charting.charts
    charts.choice.setFocus()
    charting.press("Down", 2, on=charts.choice)
    assert charts.choice.currentText() == "Trunk"
    one = charts.one
    assert one.playheads_at()[0] == pytest.approx(one.playheads_at()[1], abs=1e-3)
    before = one.shown.curves[1].across[0] - one.shown.curves[0].across[0]
    charting.press("K", 24)  # the upper film a tenth of a second on
    after = one.shown.curves[1].across[0] - one.shown.curves[0].across[0]
    assert after - before == pytest.approx(0.1, abs=1e-6)


def test_pages_turn_with_one_key_and_come_round(charting):
    beside = charting.compare.beside
    for page in (*[beside.widget(n) for n in range(3, beside.count())], beside.rails):
        charting.press("Ctrl+I")
        assert beside.currentWidget() is page


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
def test_the_charts_have_room(charting, size):
    charting.window.resize(*size)
    charting.qtbot.waitUntil(lambda: charting.charts.four[3].height() > 150)
    assert all(chart.width() > 220 for chart in charting.charts.four)


def test_a_click_on_a_point_goes_to_its_frame(charting, qtbot):
    chart = charting.charts.four[2]
    point = next(p for p in chart.shown.points if not p.lower and round(p.across) == 5)
    place = chart._pixel(point.across, point.number.value).toPoint()
    qtbot.mouseClick(chart._plot.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert charting.frames()[0] == charting.upper.look.reading.steps[4].touchdown
