"""Force and power stand beside the reading only where a coach asks for them, and are called what they are."""

import json
from dataclasses import replace

from PySide6.QtWidgets import QLabel

from app import asking
from app.demo import SAMPLES
from app.marking.athlete import change_athlete
from app.marking.placing import change_mark
from tests.window.coach import Coach


def words(coach) -> str:
    labels = coach.workspace.summary.findChildren(QLabel)
    return "\n".join(label.text() for label in labels if label.isVisibleTo(coach.workspace.summary))


def test_it_is_off_until_it_is_asked_for_and_then_says_what_is_missing(coach, window, open_window):
    assert SAMPLES.is_dir()
    assert window.open_demo()
    coach.wait_for_picture()
    action = window.actions_table["force"]
    assert not action.isChecked()
    assert "model result" not in words(coach)
    action.trigger()
    assert "Force and power: model result" in words(coach)
    assert "at least 20 m" in words(coach)
    window.close()
    again = Coach(coach.qtbot, open_window())
    assert again.window.actions_table["force"].isChecked()


def test_a_long_run_shows_it_and_the_file_holds_it_while_it_is_on(coach, window, tmp_path, monkeypatch):
    assert window.open_demo()
    coach.wait_for_picture()
    bench = coach.bench
    bench.edit(change_athlete(bench.project, bench.run, mass_kg=80.0, stature_m=1.84))
    for mark in sorted(bench.run.marks, key=lambda m: -m.x_m):  # the picture as if of a run twice as long
        bench.edit(change_mark(bench.run, mark, replace(mark, x_m=2 * mark.x_m, y_m=2 * mark.y_m)))
    path = tmp_path / "reading.json"
    monkeypatch.setattr(asking, "place_to_save", lambda *_: path)
    coach.press("Ctrl+E")
    assert "model_results" not in json.loads(path.read_text())
    window.actions_table["force"].trigger()
    assert "N/kg" in words(coach)
    assert "Not measured" in words(coach)
    coach.press("Ctrl+E")
    assert json.loads(path.read_text())["model_results"]["f0_n_kg"]["value"] > 0
