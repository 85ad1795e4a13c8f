"""Sound and playhead of one take stay together, whatever the microphone does."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.values.recording import PenPoint
from analysis.voice.sound import RATE_HZ, decoded
from analysis.voice.take import Take
from tests.helpers.clicks import SoundFromFile, clicks_in, clicks_of

MOST_APART_S = 0.040
"""What is asked for; a film of 25 frames a second shows each as long."""

AT_S = tuple(0.3 + 0.7 * n for n in range(8))
LASTS_S = 6.0


def spoken(source, at_s, every_s=0.01, lasts_s=LASTS_S):
    """A take in which the film goes a frame on at the very moment of each click in the air."""
    take, due, frame, now = Take(), list(at_s), 0, 0.0
    take.shown(source.now_s(), 0)
    source.start(take.heard)
    while now < lasts_s:
        source.go_on(every_s)
        now += every_s
        while due and due[0] <= now + 1e-9:
            due.pop(0)
            frame += 1
            take.shown(source.now_s(), frame)
        take.take_in()
    source.stop()
    return take.finish("r")


def apart(recording, count=8):
    clicks = clicks_in(decoded(recording.sound))
    changes = [shown.t_s for shown in recording.playhead[1:]]
    assert len(clicks) == len(changes) == count
    return np.abs(np.subtract(clicks, changes)).max()


def test_clicks_and_frames_are_together():
    recording = spoken(SoundFromFile(clicks_of(AT_S, LASTS_S)), AT_S)
    assert apart(recording) < 0.002
    assert [shown.frame for shown in recording.playhead] == list(range(9))
    assert recording.lasts_s == pytest.approx(LASTS_S, abs=0.01)


def test_late_blocks_do_not_part_them():
    """What the machine hands over late was heard no later."""
    recording = spoken(SoundFromFile(clicks_of(AT_S, LASTS_S), late_s=0.4), AT_S, lasts_s=LASTS_S + 0.4)
    assert apart(recording) < 0.002


@pytest.mark.parametrize("rate", [0.998, 1.002])
def test_a_microphone_with_a_clock_of_its_own_does_not_part_them(rate):
    """0.2 %, many times what crystals are apart, is 80 ms in 40 s: more than is allowed."""
    at_s = tuple(1.0 + 3.0 * n for n in range(13))
    in_sound = [moment * rate for moment in at_s]
    source = SoundFromFile(clicks_of(in_sound, 40 * rate), rate=rate)
    recording = spoken(source, at_s, lasts_s=40.0)
    assert apart(recording, 13) < MOST_APART_S / 2
    assert clicks_in(decoded(recording.sound)) == pytest.approx(in_sound, abs=0.003)


def test_what_was_lost_is_silence_and_parts_nothing():
    """A quarter of a second is lost at 2 s; the clicks after it are where they were in the air."""
    source = SoundFromFile(clicks_of(AT_S, LASTS_S), lost=range(200, 225))
    recording = spoken(source, AT_S)
    assert apart(recording) < 0.012  # a block lasts 10 ms
    assert clicks_in(decoded(recording.sound))[-1] == pytest.approx(AT_S[-1], abs=0.012)


def test_strokes_grow_and_go_with_the_sound():
    source, take = SoundFromFile(clicks_of((), 3.0)), Take()
    take.shown(source.now_s(), 7, beside=9, stop_id="s")
    source.start(take.heard)
    source.go_on(1.0)
    take.pen_down(source.now_s(), 10.0, 20.0, beside=True)
    source.go_on(0.5)
    take.pen_moved(source.now_s(), 11.0, 21.0)
    source.go_on(0.5)
    take.wiped(source.now_s())
    source.go_on(1.0)
    recording = take.finish("r")
    (stroke,) = recording.strokes
    points = (PenPoint(1.0, 10.0, 20.0), PenPoint(1.5, 11.0, 21.0))
    assert [(round(p.t_s, 6), p.u, p.v) for p in stroke.points] == [(p.t_s, p.u, p.v) for p in points]
    assert stroke.beside
    assert stroke.until_s == pytest.approx(2.0)
    assert recording.strokes_at(0.9) == ()
    assert len(recording.strokes_at(1.2)[0].points) == 1
    assert len(recording.strokes_at(1.9)[0].points) == 2
    assert recording.strokes_at(2.1) == ()
    first = recording.at(0.0)
    assert (first.frame, first.beside, first.stop_id) == (7, 9, "s")


def test_the_film_shown_before_the_sound_came_is_shown_at_its_beginning():
    take, source = Take(), SoundFromFile(clicks_of((), 1.0), begin_s=100.0)
    take.shown(99.0, 1)
    take.shown(99.5, 2)
    source.start(take.heard)
    source.go_on(1.0)
    recording = take.finish("r")
    assert [replace(shown) for shown in recording.playhead] == [replace(recording.at(0.0), frame=2)]


def test_level_is_the_peak_of_what_came_last():
    take = Take()
    assert take.level == 0.0
    source = SoundFromFile(np.full(RATE_HZ, 16384, dtype=np.int16))
    source.start(take.heard)
    source.go_on(0.5)
    take.take_in()
    assert take.level == pytest.approx(0.5, abs=0.001)
    assert take.lasts_s == pytest.approx(0.5)


def test_without_any_sound_there_is_no_recording():
    take = Take()
    take.shown(1.0, 3)
    assert take.finish("r") is None
