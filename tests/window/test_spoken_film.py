"""From the microphone to the file that is handed over: a narration is spoken on the stage, stop by stop,
written by the window, and measured in what a decoder gives.
"""

from fractions import Fraction

import av
import numpy as np
import pytest
from PySide6.QtCore import Qt

from analysis.report.film_writing import write_film
from app import asking
from tests.helpers.clicks import SoundFromFile, clicks_of
from tests.helpers.films import FRAMES, RATE_HZ, SIZE, project_on

STOPS = (90, 145, 196)
"""The frames on which the film is white; all others are dark."""
AT_S, HOLDS_S, LASTS_S = (0.7, 1.9, 3.05), (0.8, 0.35, 0.5), 4.0
IN_STEP_S = 0.040
"""How far sound and picture may lie apart; people notice sound that is 45 ms early (ITU-R BT.1359-1)."""
SOUND_HZ = 48_000


@pytest.fixture(scope="module")
def flashing(tmp_path_factory):
    path = tmp_path_factory.mktemp("spoken") / "flash.mp4"
    dark, white = (np.full((SIZE[1], SIZE[0], 4), grey, np.uint8) for grey in (40, 250))
    write_film(path, (white if n in STOPS else dark for n in range(FRAMES)), Fraction(RATE_HZ))
    return path


def spoken(qtbot, coach, source):
    """A take: at each click to the next stop, which is held, and a frame on."""
    for frame in STOPS:
        coach.pane.go_to(frame)
        coach.press("Shift+N")
    coach.pane.go_to(60)
    opener = coach.workspace.narrating.stage
    opener.hear = lambda: source
    coach.press("Shift+M")
    qtbot.waitUntil(lambda: opener.stage.screens[0].pane.shown == 60)
    stage, now = opener.stage, 0.0
    view = stage.screens[0].pane.view
    qtbot.keyClick(view, Qt.Key.Key_V)
    for moment, hold in zip(AT_S, HOLDS_S, strict=True):
        for until, key in ((moment, Qt.Key.Key_PageDown), (moment + hold, Qt.Key.Key_Right)):
            source.go_on(until - now)
            now = until
            qtbot.keyClick(view, key)
    source.go_on(LASTS_S - now)
    qtbot.keyClick(view, Qt.Key.Key_V)
    qtbot.keyClick(view, Qt.Key.Key_Escape)
    qtbot.waitUntil(coach.window.isActiveWindow)


def written(qtbot, coach, path, monkeypatch):
    """Write the narration as a film, with all as the dialog offers it."""
    monkeypatch.setattr(asking.QFileDialog, "getSaveFileName", lambda *a, **kw: (str(path), ""))
    coach.window.actions_table["export_film"].trigger()
    dialog = coach.workspace.film_export.dialog
    dialog.narration.setCurrentIndex(1)
    qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not coach.window.writing.busy)
    assert path.exists(), coach.notice


def edges(times, levels, threshold):
    """When a level rises above a threshold, and when it falls below it again."""
    above, times = np.asarray(levels) > threshold, np.asarray(times)
    return times[1:][above[1:] & ~above[:-1]], times[1:][~above[1:] & above[:-1]]


@pytest.mark.parametrize("rate", [1.0, 1.004], ids=["one clock", "a microphone that runs fast"])
def test_what_is_spoken_is_heard_with_the_stops_that_it_is_about(
    qtbot, coach, window, flashing, tmp_path, monkeypatch, rate
):
    film = tmp_path / "flash.mp4"
    film.write_bytes(flashing.read_bytes())
    assert window.open_path(project_on(film))
    coach.wait_for_picture()
    sound = clicks_of([moment * rate for moment in AT_S], LASTS_S * rate)
    spoken(qtbot, coach, SoundFromFile(sound, rate=rate, late_s=0.05))
    (narration,) = window.bench.project.narrations.values()
    assert [stop.frame for stop in narration.stops] == list(STOPS)
    path = tmp_path / "spoken.mp4"
    written(qtbot, coach, path, monkeypatch)
    with av.open(str(path)) as container:
        pictures = [(float(f.time), f.to_ndarray(format="gray")) for f in container.decode(video=0)]
    with av.open(str(path)) as container:
        heard = [(float(f.time), f.to_ndarray()[0]) for f in container.decode(audio=0)]
    bright, dark = edges([time for time, _ in pictures], [np.median(p) for _, p in pictures], 145)
    begins = np.concatenate([begin + np.arange(len(part)) / SOUND_HZ for begin, part in heard])
    level = np.abs(np.concatenate([part for _, part in heard]))
    coarse = level[: len(level) // 240 * 240].reshape(-1, 240).max(axis=1)  # the loudest within 5 ms
    clicks, _ = edges(begins[::240][: len(coarse)], coarse, 0.1)
    assert len(clicks) == len(bright) == len(dark) == len(STOPS)
    assert np.abs(clicks - bright).max() < IN_STEP_S
    # a stop is held as long as it was spoken about, by the sound's own clock; pictures come at 60 a second
    assert dark - bright == pytest.approx(np.array(HOLDS_S) * rate, abs=1.5 / 60)
