"""The ground strip: on the rail's axis, a click goes to its frame, a step paints only the line.

The strip is invented: one foot stands on frames 40 to 51 at columns 60 to 63.
"""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt

from analysis.jobs.drafted import StripPicture
from app.rail.rail import StepRail
from app.strip.picture import painted, used_columns
from app.strip.view import GroundStripView
from app.theme.tokens import DARK, LIGHT
from tests.app.rail.invented import a_film, a_run


@pytest.fixture
def levels():
    out = np.zeros((200, 160), np.uint8)
    out[:, [20, 140]] = 20
    out[40:52, 60:64] = 200
    return out


@pytest.fixture
def strip(qtbot, levels):
    rail = StepRail()
    qtbot.addWidget(rail)
    rail.resize(360, 600)
    run = a_run()
    rail.show_run(run, a_film(run), None)
    view = GroundStripView(rail)
    qtbot.addWidget(view)
    view.resize(200, 600)
    view.show_strip(
        StripPicture(levels, 0.0, 0.0, 100.0), run, a_film(run), None, {run.footfalls[0].id: 62.0}
    )
    with qtbot.waitExposed(view):
        view.show()
    return view, rail, run


def test_a_click_goes_to_the_frame_that_the_rail_has_at_that_height(strip, qtbot):
    view, rail, run = strip
    asked = []
    view.frame_requested.connect(asked.append)
    y = 300
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=QPoint(50, y))
    on_rail = []
    rail.frame_requested.connect(on_rail.append)
    qtbot.mouseClick(rail, Qt.MouseButton.LeftButton, pos=QPoint(2, y))
    assert asked == on_rail
    assert run.first_frame <= asked[0] <= run.last_frame


def test_the_axis_follows_the_rail_s_zoom(strip):
    view, rail, _ = strip
    rail.fit_all()
    before = view.frame_at(500)
    rail.zoom_in()
    rail.zoom_in()
    assert view.frame_at(500) != before
    assert view.frame_at(500) == rail._content.cells.frame_at(rail.scale.time(500))


def test_a_standing_foot_is_dark_where_it_stands_and_bare_ground_is_not(levels):
    frames = np.arange(200)
    for theme, more in ((LIGHT, -1), (DARK, 1)):
        image = painted(levels, frames, (0, 160), 160, theme)
        foot, ground = (image.pixelColor(x, y).lightness() for x, y in ((61, 45), (100, 45)))
        assert more * (foot - ground) > 100
        assert image.pixelColor(61, 60).lightness() == ground


def test_a_thin_streak_is_not_lost_zoomed_out(levels):
    """Twelve frames by four columns on a twentieth of the rows and columns."""
    image = painted(levels, np.arange(0, 200, 20), (0, 160), 8, LIGHT)
    darkest = min(image.pixelColor(x, y).lightness() for x in range(8) for y in range(10))
    assert darkest < 60


def test_the_strip_is_cut_to_where_something_happens(levels):
    assert used_columns(levels) == (20, 141)
    assert used_columns(np.zeros((5, 9), np.uint8)) == (0, 9)


def test_keys_step_and_the_film_s_own_word_asks_for_nothing(strip, qtbot):
    view, _, _ = strip
    asked = []
    view.frame_requested.connect(asked.append)
    view.set_frame(50)
    assert asked == []
    qtbot.keyClick(view, Qt.Key.Key_Down)
    qtbot.keyClick(view, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    assert asked == [51, 40]
    assert view.accessibleName() == "Ground strip"


def test_a_step_keeps_the_painted_picture(strip):
    view, _, _ = strip
    view.grab()
    image = view._image
    assert image is not None
    view.set_frame(90)
    view.grab()
    assert view._image is image
