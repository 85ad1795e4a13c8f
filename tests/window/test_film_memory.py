"""How much memory films on show may take is what the coach set."""

import json

import pytest

from tests.window.comparing import ComparingCoach

MB = 1_000_000


@pytest.mark.parametrize(
    ("chosen", "whole"), [({}, 1500), ({"film_memory_mb": 300}, 300), ({"film_memory_mb": 5}, 1500)]
)
def test_the_films_on_show_share_it(qtbot, home, open_window, chosen, whole):
    """What no film can be shown with is not taken over."""
    (home / "settings.json").write_text(json.dumps(chosen))
    window = open_window()
    assert window.open_demo()
    pane = window.run_workspace.pane
    qtbot.waitUntil(lambda: pane.shown >= 0)
    assert pane._reader._budget == whole * MB
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    assert [side.pane._reader._budget for side in (coach.upper, coach.lower)] == [whole * MB // 2] * 2


def test_less_is_kept_where_less_is_given(qtbot, home, open_window):
    """The demo's films have 720 frames of 1.4 MB each."""
    (home / "settings.json").write_text(json.dumps({"film_memory_mb": 200}))
    window = open_window()
    assert window.open_demo()
    pane = window.run_workspace.pane
    qtbot.waitUntil(lambda: pane.shown >= 0)
    for frame in range(20, 700, 60):
        pane.go_to(frame)
        qtbot.waitUntil(lambda frame=frame: pane.shown == frame and pane.in_full)
        assert pane._reader._reader.kept_bytes <= 200 * MB
