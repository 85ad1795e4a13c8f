"""The axis covers the events of a run, until the coach zooms."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import Footfall, Run, Side
from app.rail.rail import StepRail

TIMES = FrameTimes.from_seconds([i / 30 for i in range(300)])
EMPTY = Run("run", "film", "a run", FrameNumber(0), FrameNumber(299))
ONE = replace(EMPTY, footfalls=(Footfall("a", Side.LEFT, FrameNumber(150), FrameNumber(155)),))
TWO = replace(
    EMPTY, footfalls=(*ONE.footfalls, Footfall("b", Side.RIGHT, FrameNumber(158), FrameNumber(162)))
)


@pytest.fixture
def rail(qtbot):
    rail = StepRail()
    qtbot.addWidget(rail)
    rail.resize(260, 700)
    rail.show()
    return rail


def test_without_events_the_whole_run_is_shown(rail):
    rail.show_run(EMPTY, TIMES, None)
    assert rail.scale.zoom == 1.0


def test_the_events_of_a_long_film_fill_the_axis_and_grow_with_it(rail):
    rail.show_run(ONE, TIMES, None)
    assert 4.0 < rail.scale.top_s < 150 / 30
    assert 155 / 30 < rail.scale.bottom_s < 6.5
    before = rail.scale.bottom_s
    rail.show_run(TWO, TIMES, None)
    assert rail.scale.bottom_s > before


def test_a_zoom_of_the_coach_stays(rail, qtbot):
    rail.show_run(ONE, TIMES, None)
    rail.zoom_out()
    zoomed = rail.scale
    rail.show_run(TWO, TIMES, None)
    assert rail.scale == zoomed
    qtbot.keyClick(rail, Qt.Key.Key_0)
    assert rail.scale.zoom == 1.0
