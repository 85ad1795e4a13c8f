"""The coach speaks over the film: sound and playhead are one, heard again, spoken again, cut in two."""

import sys
from functools import partial

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication

from analysis.store import ProjectFile
from analysis.voice.sound import RATE_HZ, decoded
from tests.helpers.accessible import assert_accessible
from tests.helpers.clicks import SoundFromFile, clicks_in, clicks_of

MOST_APART_S = 0.040
AT_S = (0.5, 1.0, 1.5)
LASTS_S = 2.0


class SoundToNowhere:
    """A loudspeaker (``app.narrate.devices.SoundOut``) whose time the test moves."""

    silent = False

    def __init__(self):
        self.samples, self.now_s, self.runs = None, 0.0, False

    def start(self, samples, from_s):
        self.samples, self.now_s, self.runs = samples, from_s, True

    def stop(self):
        self.runs = False

    def heard_s(self):
        return self.now_s


@pytest.fixture
def source():
    return SoundFromFile(clicks_of(AT_S, LASTS_S))


@pytest.fixture
def speaker():
    return SoundToNowhere()


@pytest.fixture
def stage(qtbot, marked, source, speaker):
    """The stage to speak on, at frame 100 of a film with one stop, at frame 90."""
    opener = marked.workspace.narrating.stage
    opener.hear, opener.play_on = lambda: source, lambda: speaker
    marked.pane.go_to(90)
    marked.press("Shift+N")
    marked.pane.go_to(100)
    marked.press("Shift+M")
    qtbot.waitUntil(lambda: opener.stage.screens[0].pane.shown == 100)
    return opener.stage


def press(qtbot, stage, key):
    qtbot.keyClick(stage.screens[0].pane.view, key)


def speak(qtbot, stage, source, at_s=AT_S, lasts_s=LASTS_S):
    """A take in which the film goes a frame on at each click."""
    press(qtbot, stage, Qt.Key.Key_V)
    now = 0.0
    for moment in at_s:
        source.go_on(moment - now)
        now = moment
        press(qtbot, stage, Qt.Key.Key_Right)
    source.go_on(lasts_s - now)
    press(qtbot, stage, Qt.Key.Key_V)


def leave(qtbot, coach, stage):
    press(qtbot, stage, Qt.Key.Key_Escape)
    qtbot.waitUntil(coach.window.isActiveWindow)


def kept(coach):
    (one,) = coach.bench.project.recordings.values()
    return one


def apart(recording):
    """How far clicks and changes of the film are apart at most, s."""
    clicks, changes = clicks_in(decoded(recording.sound)), [one.t_s for one in recording.playhead[1:]]
    assert len(clicks) == len(changes)
    return float(np.abs(np.subtract(clicks, changes)).max())


def test_sound_and_playhead_are_stored_together(qtbot, marked, stage, source):
    speak(qtbot, stage, source)
    assert apart(kept(marked)) < MOST_APART_S
    assert [one.frame for one in kept(marked).playhead] == [100, 101, 102, 103]
    with ProjectFile.open(marked.bench.path) as file:
        assert file.project.recordings == marked.bench.project.recordings
    told = next(iter(marked.bench.project.narrations.values()))
    assert told.recording_id == kept(marked).id


def test_it_never_records_without_a_sign(qtbot, marked, stage, source):
    bar = stage.bar
    assert_accessible(stage)
    assert "agree first" in bar.consent.text()
    assert bar.consent.isVisible()
    for _ in range(2):
        assert not source.listening
        assert not bar.sign.isVisible()
        press(qtbot, stage, Qt.Key.Key_V)
        assert source.listening
        assert bar.sign.isVisible()
        assert "Recording" in bar.sign.text()
        source.go_on(0.6)
        qtbot.waitUntil(lambda: "0.6" in bar.sign.text())
        press(qtbot, stage, Qt.Key.Key_Escape)  # ends the take, and does not leave
        assert marked.workspace.narrating.stage.stage is stage


def test_the_meter_follows_the_loudness(qtbot, stage, source):
    source._sound = np.full(RATE_HZ, 16384, dtype=np.int16)
    press(qtbot, stage, Qt.Key.Key_V)
    source.go_on(0.2)
    qtbot.waitUntil(lambda: stage.bar.level.value() == 50)
    press(qtbot, stage, Qt.Key.Key_V)


def test_what_is_drawn_while_speaking_is_kept_and_seen_again(qtbot, marked, stage, source, speaker):
    pen, view = stage.screens[0].pen, stage.screens[0].pane.view
    press(qtbot, stage, Qt.Key.Key_V)
    source.go_on(0.5)
    places = [QPoint(*map(round, view.mapping.to_widget(u, 90.0))) for u in (100.0, 140.0)]
    qtbot.mousePress(pen, Qt.MouseButton.LeftButton, pos=places[0])
    source.go_on(0.5)
    qtbot.mouseMove(pen, places[1])
    qtbot.mouseRelease(pen, Qt.MouseButton.LeftButton, pos=places[1])
    source.go_on(0.5)
    press(qtbot, stage, Qt.Key.Key_W)
    source.go_on(0.5)
    press(qtbot, stage, Qt.Key.Key_V)
    (stroke,) = kept(marked).strokes
    assert stroke.points[0].t_s == pytest.approx(0.5, abs=0.01)
    assert stroke.points[0].u == pytest.approx(100.0, abs=1.0)
    assert stroke.until_s == pytest.approx(1.5, abs=0.01)
    press(qtbot, stage, Qt.Key.Key_P)
    for now_s, seen in ((0.2, 0), (0.7, 1), (1.7, 0)):
        speaker.now_s = now_s
        qtbot.waitUntil(lambda seen=seen: len(pen.strokes) == seen)


def test_it_is_heard_with_the_film_that_was_shown(qtbot, stage, source, speaker):
    speak(qtbot, stage, source)
    press(qtbot, stage, Qt.Key.Key_PageDown)  # somewhere else: to the stop
    press(qtbot, stage, Qt.Key.Key_P)
    assert clicks_in(speaker.samples) == pytest.approx(AT_S, abs=0.004)
    pane = stage.screens[0].pane
    for now_s, frame in ((0.1, 100), (0.6, 101), (1.9, 103)):
        speaker.now_s = now_s
        qtbot.waitUntil(lambda frame=frame: pane.shown == frame)
    speaker.now_s = LASTS_S
    qtbot.waitUntil(lambda: not stage.voice.playing)
    assert not speaker.runs
    stage.bar.place.setValue(600)  # a drag of the slider shows what was shown
    assert pane.wanted == 101


def test_a_stop_that_is_told_brings_its_caption_again(qtbot, marked, stage, source, speaker):
    desk = marked.workspace.narrating.desk
    press(qtbot, stage, Qt.Key.Key_V)
    source.go_on(1.0)
    press(qtbot, stage, Qt.Key.Key_PageDown)
    source.go_on(1.0)
    press(qtbot, stage, Qt.Key.Key_V)
    shown = kept(marked).playhead
    stop_id = desk.narration.stops[0].id
    assert [(one.frame, one.stop_id) for one in shown if one.t_s > 0.5][-1] == (90, stop_id)
    assert (shown[0].frame, shown[0].stop_id) == (100, "")


def test_a_passage_is_spoken_again_and_undone(qtbot, marked, stage, source):
    speak(qtbot, stage, source)
    first = kept(marked)
    again = SoundFromFile(clicks_of((0.25,), 1.0))
    stage.voice._hear = lambda: again
    stage.bar.place.setValue(800)
    qtbot.mouseClick(stage.bar.begin, Qt.MouseButton.LeftButton)
    stage.bar.place.setValue(1200)
    qtbot.mouseClick(stage.bar.end, Qt.MouseButton.LeftButton)
    assert "0.8 to 1.2" in stage.bar.passage.text()
    speak(qtbot, stage, again, at_s=(0.25,), lasts_s=1.0)
    second = kept(marked)
    assert second.lasts_s == pytest.approx(LASTS_S - 0.4 + 1.0, abs=0.02)
    clicks = clicks_in(decoded(second.sound))
    assert clicks == pytest.approx([0.5, 0.8 + 0.25, 1.5 + 0.6], abs=0.02)
    assert [one.frame for one in second.playhead if 0.8 <= one.t_s < 1.8] == [101, 102]
    leave(qtbot, marked, stage)
    marked.press("Ctrl+Z")
    assert kept(marked) == first
    marked.press("Ctrl+Z")
    assert not marked.bench.project.recordings


def test_a_long_one_is_split_and_the_voice_removed(qtbot, marked, stage, source):
    speak(qtbot, stage, source)
    stage.bar.place.setValue(1200)
    qtbot.mouseClick(stage.bar.split, Qt.MouseButton.LeftButton)
    told = sorted(marked.bench.project.narrations.values(), key=lambda one: one.name)
    assert [one.name for one in told] == ["Narration 1", "Narration 1, part 2"]
    parts = [marked.bench.project.recordings[one.recording_id] for one in told]
    assert [one.lasts_s for one in parts] == pytest.approx([1.2, 0.8], abs=0.01)
    assert max(map(apart, parts)) < MOST_APART_S
    assert told[0].stops == told[1].stops
    assert stage.telling.recording == parts[0]
    qtbot.mouseClick(stage.bar.drop, Qt.MouseButton.LeftButton)
    assert list(marked.bench.project.recordings.values()) == [parts[1]]
    assert not stage.bar.play.isVisible()


def test_a_window_that_closes_keeps_what_was_spoken(qtbot, marked, stage, source):
    path = marked.bench.path
    press(qtbot, stage, Qt.Key.Key_V)
    source.go_on(1.0)
    marked.window.close()
    assert not source.listening
    with ProjectFile.open(path) as file:
        (recording,) = file.project.recordings.values()
    assert recording.lasts_s == pytest.approx(1.0, abs=0.02)


def test_removing_a_narration_removes_what_was_spoken(qtbot, marked, stage, source):
    speak(qtbot, stage, source)
    leave(qtbot, marked, stage)
    marked.window.actions_table["remove_narration"].trigger()
    assert not marked.bench.project.recordings
    marked.press("Ctrl+Z")
    assert marked.bench.project.recordings


def test_nothing_heard_is_said(qtbot, marked, stage):
    press(qtbot, stage, Qt.Key.Key_V)
    press(qtbot, stage, Qt.Key.Key_V)
    assert "Nothing was heard" in stage.notice.text()
    assert not marked.bench.project.recordings


def test_without_the_package_it_says_what_to_do_and_captions_serve(qtbot, marked, monkeypatch):
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    marked.press("Shift+M")
    stage = marked.workspace.narrating.stage.stage
    qtbot.waitUntil(stage.isActiveWindow)
    press(qtbot, stage, Qt.Key.Key_V)
    assert "pip install sounddevice" in stage.notice.text()
    assert "captions" in stage.notice.text()
    assert not stage.bar.sign.isVisible()
    press(qtbot, stage, Qt.Key.Key_Escape)


def test_without_a_loudspeaker_the_film_goes_on_and_it_is_said(qtbot, stage, source, monkeypatch):
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    from app.narrate import devices

    speak(qtbot, stage, source)
    stage.voice._play_on = devices.loudspeaker
    press(qtbot, stage, Qt.Key.Key_P)
    assert "no loudspeaker" in stage.notice.text()
    stage.voice._out._now = partial(float, stage.voice._out._from[0] + 0.6)
    qtbot.waitUntil(lambda: stage.screens[0].pane.shown == 101)
    press(qtbot, stage, Qt.Key.Key_P)


def test_another_project_closes_the_stage(qtbot, marked, stage, source, tmp_path):
    press(qtbot, stage, Qt.Key.Key_V)
    source.go_on(0.3)
    with ProjectFile.create(tmp_path / "other.cinderlane"):
        pass
    marked.bench.open_project(tmp_path / "other.cinderlane")
    assert marked.workspace.narrating.stage.stage is None
    assert not source.listening


def test_the_stage_fits_a_small_screen_with_large_text(qtbot, marked, stage, source):
    speak(qtbot, stage, source)
    press(qtbot, stage, Qt.Key.Key_PageDown)
    marked.window._settings["text_scale"] = 2.0
    marked.window._apply_looks()
    QApplication.processEvents()
    least = stage.minimumSizeHint()
    assert least.width() <= 1280
    assert least.height() <= 800


def test_while_the_film_plays_each_frame_is_noted_at_its_moment(qtbot, marked, stage, source):
    """At half speed frame n of 240 a second is due n / 120 s after the film began to play.

    Film and sound share one clock here, which the test moves from one picture of the screen to the next.
    """
    pane, clock = stage.screens[0].pane, stage.ticker.clock
    clock._now = source.now_s
    stage.ticker.set_speed(0.5)
    press(qtbot, stage, Qt.Key.Key_V)
    began_at = source.now_s()
    press(qtbot, stage, Qt.Key.Key_Space)
    for picture in range(1, 26):
        source.go_on(1 / 60)
        due = 100 + picture * 2
        qtbot.waitUntil(lambda due=due: pane.shown in (due - 1, due))
    press(qtbot, stage, Qt.Key.Key_Space)
    press(qtbot, stage, Qt.Key.Key_V)
    shown = kept(marked).playhead[1:]
    off = [one.t_s - (began_at - source._begin) - (one.frame - 100) / 120 for one in shown]
    assert len(shown) > 20
    assert max(map(abs, off)) < MOST_APART_S
