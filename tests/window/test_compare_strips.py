"""Both posture strips beside their films: event over event, a click goes there, one picture of both."""

from __future__ import annotations

import pytest
from PIL import Image
from PySide6.QtCore import Qt

from app import asking
from app.marking.events import EventRef
from app.marking.placing import place_point
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import project_on
from tests.window.comparing import ComparingCoach
from tests.window.test_posture_strip import EVENTS


@pytest.fixture
def striping(qtbot, window, small):
    """Two runs on one small film with hips at the first and last event, their strips drawn beside them."""
    assert window.open_path(project_on(small, 2))
    for run_id in ("run1", "run0"):
        window.bench.choose_run(run_id)
        for frame in (EVENTS[0], EVENTS[-1]):
            window.bench.edit(place_point(window.bench.run, frame, "right_hip", 40.0 + frame, 100.0))
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    coach.press("Ctrl+I", 3)
    coach.strips = window.compare_workspace.beside.strips
    assert coach.strips.isVisible()
    qtbot.waitUntil(lambda: drawn(coach))
    return coach


def drawn(coach) -> bool:
    tiles = [t for side in (coach.upper, coach.lower) for t in coach.strips.tiles_of(side)]
    return bool(tiles) and all(t.picture is not None for t in tiles) and not coach.strips.working


def test_each_event_stands_over_its_own_at_one_size_and_a_click_goes_there(striping, qtbot):
    strips = striping.strips
    rows = [strips.tiles_of(side) for side in (striping.upper, striping.lower)]
    assert [[tile.frame for tile in row] for row in rows] == [EVENTS, EVENTS]
    for above, below in zip(*rows, strict=True):
        assert above.x() == below.x()
        assert above.y() < below.y()
        assert above.picture.size() == below.picture.size()
    assert_accessible(strips)
    tile = rows[1][3]
    strips.area.ensureWidgetVisible(tile)
    qtbot.mouseClick(tile, Qt.MouseButton.LeftButton)
    assert striping.frames() == (tile.frame, tile.frame)
    assert tile.here
    assert rows[0][3].here


def test_both_strips_are_written_into_one_picture(striping, monkeypatch, tmp_path):
    path = tmp_path / "both.png"
    monkeypatch.setattr(asking, "place_to_save", lambda *_: path)
    striping.window.actions_table["export_strips"].trigger()
    dialog = striping.window.compare_workspace.export.dialog
    striping.qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    striping.qtbot.waitUntil(lambda: str(path) in striping.notice)
    with Image.open(path) as picture:
        assert picture.width > picture.height > 1200


def test_an_event_that_one_run_lacks_leaves_its_place_empty(striping):
    strips, gone = striping.strips, striping.upper.look.run.footfalls[0]
    striping.bench.select(EventRef(gone.id, "toe_off"))
    striping.press("Del")
    striping.qtbot.waitUntil(lambda: len(strips.tiles_of(striping.upper)) < len(EVENTS))
    above, below = (strips.tiles_of(side) for side in (striping.upper, striping.lower))
    assert len(below) == len(strips.pair.columns) == len(EVENTS)
    assert {t.frame for t in below} - {t.frame for t in above} >= {gone.toe_off}
    alone = next(t for t in below if t.frame == gone.toe_off)
    striping.qtbot.waitUntil(lambda: alone.x() not in {tile.x() for tile in above})
    partners = {t.frame: t.x() for t in below}
    assert all(tile.x() == partners[tile.frame] for tile in above)
