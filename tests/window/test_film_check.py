"""What the coach reads of how good a film is, found beside the window."""

import av
import numpy as np
import pytest
from PySide6.QtCore import Qt

from analysis.values.command import Kind
from app.marking.events import tag_start
from app.marking.placing import delete_part
from app.run.film_panel import FilmPanel


@pytest.fixture(autouse=True)
def _check_at_once(monkeypatch, _no_film_check):
    monkeypatch.setattr(FilmPanel, "begin_after_ms", 0)


def _panel(window):
    return window.run_workspace.facts.film


def _film(path, every):
    """A patch crosses a textured ground; each picture stands ``every`` times."""
    ground = np.random.default_rng(5).integers(60, 180, (120, 200, 3), np.uint8)
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=60, options={"crf": "10"})
        stream.width, stream.height, stream.pix_fmt = 200, 120, "yuv420p"
        for number in range(180):
            picture = ground.copy()
            at = number // every
            picture[40:80, 2 * at % 160 : 2 * at % 160 + 30] = 250
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, "rgb24")))
        container.mux(stream.encode())
    return path


def test_the_check_says_what_the_rate_costs(coach, window, tmp_path, qtbot):
    assert window.open_path(_film(tmp_path / "sixty.mp4", 1))
    panel = _panel(window)
    qtbot.waitUntil(lambda: panel.findings is not None)
    rate = next(one for one in panel.findings if one.topic == "rate")
    assert not rate.good
    assert rate.value == pytest.approx(60)
    # two events, each anywhere between two frames and 5 ms either way in doubt (JCGM 101:2008: simulated)
    chance = np.random.default_rng(60)
    off = sum(chance.uniform(-half, half, 1_000_000) for half in (1 / 120, 1 / 120, 0.005, 0.005))
    halfwidth = np.quantile(np.abs(off), 0.95) * 1000
    assert f"{halfwidth:.0f} ms either way" in panel.words.text()
    costly = sum(not one.good for one in panel.findings)
    assert f"Film check: {costly} point" in window.notice.text.text()
    assert "repeats" not in {one.topic for one in panel.findings}


@pytest.fixture
def screen(coach, window, tmp_path, qtbot):
    """A film whose pictures stand three times each, with the question about it."""
    assert window.open_path(_film(tmp_path / "screen.mp4", 3))
    qtbot.waitUntil(lambda: len(window.run_workspace.question.buttons) == 2)
    assert "3 times" in window.run_workspace.question.words.text()
    assert "20 different" in _panel(window).words.text()
    return window


def test_repeats_are_left_out_where_the_coach_agrees(screen, qtbot):
    question, bench = screen.run_workspace.question, screen.bench
    assert bench.film.frames == 180
    qtbot.mouseClick(question.buttons[0], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bench.film is not None and bench.film.frames == 60)
    # 60 a second with each picture three times: what was filmed is 20 a second
    assert bench.facts.times.median_rate_hz == pytest.approx(20)
    assert (bench.run.first_frame, bench.run.last_frame) == (0, 59)
    qtbot.waitUntil(lambda: _panel(screen).findings is not None)
    assert "repeats" not in {one.topic for one in _panel(screen).findings}
    assert not question.isVisible()
    bench.undo()
    qtbot.waitUntil(lambda: bench.film is not None and bench.film.frames == 180)
    assert bench.run.last_frame == 179


def test_the_answer_holds_when_the_project_is_opened_again(screen, qtbot, open_window):
    qtbot.mouseClick(screen.run_workspace.question.buttons[0], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: screen.bench.film is not None and screen.bench.film.frames == 60)
    project = screen.bench.path
    screen.close()
    again = open_window()
    assert again.open_path(project)
    qtbot.waitUntil(lambda: again.bench.film is not None)
    assert again.bench.film.frames == 60


def test_who_keeps_every_frame_is_not_asked_again(screen, qtbot):
    question, bench = screen.run_workspace.question, screen.bench
    qtbot.mouseClick(question.buttons[1], Qt.MouseButton.LeftButton)
    assert bench.film.frames == 180
    assert not question.isVisible()
    assert bench.project.films[bench.run.film_id].every == 1


def test_a_marked_film_keeps_its_frames(screen, coach, qtbot):
    bench = screen.bench
    bench.edit(tag_start(bench.run, "first_movement", 30)[0])
    qtbot.mouseClick(screen.run_workspace.question.buttons[0], Qt.MouseButton.LeftButton)
    assert bench.film.frames == 180
    assert "marked already" in coach.notice


def test_a_window_that_closes_stops_the_check(coach, window, tmp_path, qtbot):
    assert window.open_path(_film(tmp_path / "sixty.mp4", 1))
    panel = _panel(window)
    qtbot.waitUntil(lambda: panel._watch._job is not None)
    child = panel._watch._job._process
    window.close()
    assert child.poll() is not None


def test_marks_tell_tilt_and_room(coach, window, qtbot):
    """The demo's first clip was rendered with a roll of 0.25 degrees (its truth file), which nobody sees."""
    assert window.open_demo()
    panel = _panel(window)
    window.run_workspace.panels.side.setCurrentIndex(3)
    qtbot.waitUntil(lambda: panel.findings is not None)
    assert "tilt" in {one.topic for one in panel.findings}
    assert "The ground line is tilted in the picture by" in panel.words.text()
    assert "By the lines along it" not in panel.words.text()  # marks tell it better
    assert "past 10 m" in panel.words.text()
    assert "pixels tall" in panel.words.text()
    coach.bench.new_run()
    for mark in coach.bench.run.marks:
        coach.bench.attempt(lambda gone=mark: delete_part(coach.bench.run, Kind.MARK, gone.id))
    qtbot.waitUntil(lambda: "are known once" in panel.words.text())
