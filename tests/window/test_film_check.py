"""What the coach reads of how good a film is, found beside the window."""

import av
import numpy as np
import pytest

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
    qtbot.waitUntil(lambda: panel.findings is not None, timeout=30_000)
    rate = next(one for one in panel.findings if one.topic == "rate")
    assert not rate.good
    assert rate.value == pytest.approx(60)
    # u of an event: sqrt(d^2/12 + T^2/3) with T 5 ms; two events, 1.96 (JCGM 100:2008, 4.3.7)
    halfwidth = 1.96 * (2 * (1 / 60**2 / 12 + 0.005**2 / 3)) ** 0.5 * 1000
    assert f"{halfwidth:.0f} ms either way" in panel.words.text()
    assert "repeats" not in {one.topic for one in panel.findings}


def test_repeated_pictures_are_said_aloud(coach, window, tmp_path, qtbot):
    assert window.open_path(_film(tmp_path / "screen.mp4", 3))
    panel = _panel(window)
    qtbot.waitUntil(lambda: panel.findings is not None, timeout=30_000)
    assert panel.findings[0].topic == "repeats"
    assert panel.findings[0].value == 3
    assert "3 times" in panel.words.text()


def test_a_window_that_closes_stops_the_check(coach, window, tmp_path, qtbot):
    assert window.open_path(_film(tmp_path / "sixty.mp4", 1))
    panel = _panel(window)
    qtbot.waitUntil(lambda: panel._job is not None)
    child = panel._job._process
    window.close()
    assert child.poll() is not None
