"""Which pictures a film shows that is narrated, spoken over, or has a second one below: counted by hand."""

from fractions import Fraction

import pytest

from analysis.report.film_order import Pace, ordered
from analysis.report.film_reel import narrated_reel, paired_reel, plain_reel, spoken_reel
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.narration import Narration, Stop
from analysis.values.narration_course import course
from analysis.values.recording import PenPoint, PenStroke, Recording, Shown
from analysis.values.time_map import TimeMap

HZ = 240
TIMES = FrameTimes(tuple(range(400)), Fraction(1, HZ))
SLOWER = FrameTimes(tuple(range(400)), Fraction(1, 120))
STOPS = (
    Stop("a", FrameNumber(40), "Set", hold_s=1.0, speed_after=0.25),
    Stop("b", FrameNumber(100), "Push", hold_s=0.5, speed_after=1.0),
    Stop("c", FrameNumber(20), "Once more", hold_s=0.25),
)


def test_a_narration_stands_at_its_stops_and_plays_on_at_its_speeds():
    told = Narration("n", "run", ("r",), STOPS)
    reel = narrated_reel(told, course(told, TIMES))
    frames = [shot.frames[0] for shot in reel.shots]
    assert reel.rate_hz == 60
    # 1 s on frame 40, 60 frames at a quarter of 240 a second: 1 s, half a second on 100, back to 20 at once
    assert len(frames) == 60 + 60 + 30 + 15
    assert frames[:60] == [40] * 60
    assert frames[60:120] == list(range(40, 100))
    assert frames[120:150] == [100] * 30
    assert frames[150:] == [20] * 15
    words = [shot.stop.words for shot in reel.shots]
    assert words == ["Set"] * 120 + ["Push"] * 30 + ["Once more"] * 15
    assert reel.frames(0) == tuple(sorted({20, *range(40, 101)}))


def test_what_was_spoken_shows_the_frame_that_the_film_showed_then_and_what_the_pen_drew_so_far():
    pen = PenStroke((PenPoint(0.5, 10, 10), PenPoint(1.0, 50, 10)), until_s=1.5)
    shown = (
        Shown(0.0, FrameNumber(5), stop_id="a"),
        Shown(0.7, FrameNumber(9), stop_id="b"),
        Shown(1.2, FrameNumber(7)),
    )
    told = Narration("n", "run", ("r",), STOPS, "s")
    reel = spoken_reel(told, Recording("s", b"", 2.0, shown, (pen,)))
    frames = [shot.frames[0] for shot in reel.shots]
    assert frames == [5] * 42 + [9] * 30 + [7] * 48
    assert [shot.stop.id if shot.stop else "" for shot in reel.shots[::45]] == ["a", "b", ""]
    drawn = [sum(len(stroke.points) for stroke in shot.strokes) for shot in reel.shots]
    assert drawn == [0] * 30 + [1] * 30 + [2] * 30 + [0] * 30


def test_a_second_film_of_another_rate_is_on_the_frame_of_the_same_moment():
    order = ordered(TIMES, 48, 143, (), Pace(0.25))
    # 0.2 s of the first is 0.5 s of the second, both run at one pace
    reel = paired_reel(order, TIMES, SLOWER, TimeMap(((0.2, 0.5),)))
    assert reel.shots[0].frames == (48, 60)
    assert reel.shots[48].frames == (96, 84)
    assert len(reel.shots) == len(plain_reel(order).shots) == 96


def test_a_narration_of_two_runs_shows_both():
    stop = Stop("a", FrameNumber(40), hold_s=0.1, beside=FrameNumber(70))
    told = Narration("n", "both", ("r", "q"), (stop,))
    reel = narrated_reel(told, course(told, TIMES, SLOWER))
    assert {shot.frames for shot in reel.shots} == {(40, 70)}


@pytest.mark.parametrize("lasts_s", [1 / 60, 0.999, 1.0, 1.001])
def test_a_film_lasts_at_least_as_long_as_the_sound_and_hardly_longer(lasts_s):
    told = Narration("n", "run", ("r",), (), "s")
    reel = spoken_reel(told, Recording("s", b"", lasts_s, (Shown(0.0, FrameNumber(0)),)))
    assert lasts_s - 1e-6 <= len(reel.shots) / reel.rate_hz < lasts_s + 1 / 60
