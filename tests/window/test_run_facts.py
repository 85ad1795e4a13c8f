"""What the coach states about run and film: filming rate, splits, a second run, a film that moved."""

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from analysis.values.estimate import Estimate
from app import asking
from app.demo import SAMPLES

FILM = SAMPLES / "wing_day1.mp4"


@pytest.fixture
def demo(coach, window):
    """The demo project, on show."""
    assert window.open_demo()
    coach.wait_for_picture()
    return coach


def test_a_slow_motion_film_reads_in_the_time_of_filming(demo):
    before = demo.bench.reading
    panel = demo.workspace.facts
    panel.rate.setValue(480.0)
    demo.qtbot.waitUntil(lambda: demo.bench.reading != before)
    demo.wait_for_picture()
    after = demo.bench.reading
    # the same frames at twice the rate last half as long
    assert after.steps[0].contact_s.value == pytest.approx(before.steps[0].contact_s.value / 2, rel=1e-6)
    assert after.capture_rate_hz == pytest.approx(480.0)
    demo.press("Ctrl+Z")
    demo.wait_for_picture()
    assert demo.bench.reading == before
    assert panel.rate.value() == 0.0


def test_splits_are_read_where_the_coach_says(demo, qtbot):
    field = demo.workspace.facts.places
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "2.5, 7.5")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    splits = demo.bench.reading.splits
    assert [split.x_m for split in splits] == [2.5, 7.5]
    assert all(isinstance(split.time_s, Estimate) for split in splits)
    field.setText("five")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert "commas" in demo.window.notice.text.text()
    assert field.text() == "2.5, 7.5"


def test_a_second_run_on_the_film_keeps_the_marks_and_can_be_undone(demo):
    first = demo.bench.run
    demo.press("Ctrl+R")
    demo.wait_for_picture()
    second = demo.bench.run
    assert second.id != first.id
    assert second.film_id == first.film_id
    assert [(m.x_m, m.u, m.v) for m in second.marks] == [(m.x_m, m.u, m.v) for m in first.marks]
    assert second.footfalls == ()
    demo.press("Ctrl+Z")
    assert second.id not in demo.bench.project.runs
    assert demo.bench.run is not None


def test_a_film_that_moved_is_found_and_another_one_is_refused(coach, window, clip, tmp_path, monkeypatch):
    film = Path(shutil.copy(FILM, tmp_path / "run.mp4"))
    assert window.open_path(film)
    coach.wait_for_picture()
    project = coach.bench.path
    coach.press("D")
    (tmp_path / "away").mkdir()
    moved = Path(shutil.move(film, tmp_path / "away" / "run.mp4"))
    assert window.open_path(project)
    assert coach.bench.film is None
    assert len(coach.bench.run.footfalls) == 1
    monkeypatch.setattr(asking, "film_to_open", lambda *_: clip)
    window.actions_table["find_film"].trigger()
    coach.qtbot.waitUntil(lambda: "is not the film" in coach.notice)
    assert coach.bench.film is None
    monkeypatch.setattr(asking, "film_to_open", lambda *_: moved)
    window.actions_table["find_film"].trigger()
    coach.qtbot.waitUntil(lambda: coach.bench.film is not None)
    coach.wait_for_picture()
    assert coach.bench.film.path == str(moved)
