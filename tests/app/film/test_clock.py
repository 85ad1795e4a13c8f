"""The master time: what it says at which moment, never how many frames were shown."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.film.clock import Clock
from app.film.drops import DropCount


class Watch:
    """A now that the test moves."""

    def __init__(self):
        self.s = 100.0

    def __call__(self):
        return self.s


@pytest.fixture
def watch():
    return Watch()


@pytest.fixture
def clock(watch):
    clock = Clock(0.0, 3.0, watch)
    clock.set_speed(1.0)
    return clock


def test_it_stands_at_the_first_frame(clock, watch):
    watch.s += 5
    assert clock.time_s == 0
    assert not clock.playing


@pytest.mark.parametrize("speed", [0.1, 0.25, 0.5, 1.0])
def test_forwards_at_a_share_of_real_time(clock, watch, speed):
    clock.set_speed(speed)
    clock.play()
    watch.s += 1.5
    assert clock.time_s == pytest.approx(1.5 * speed)
    assert clock.playing


def test_backwards(clock, watch):
    clock.seek(2.0)
    clock.play(-1)
    watch.s += 0.5
    assert clock.time_s == pytest.approx(1.5)
    watch.s += 10
    assert clock.time_s == 0
    assert not clock.playing


def test_it_stops_at_the_end_and_begins_anew(clock, watch):
    clock.seek(2.5)
    clock.play(1)
    watch.s += 1
    assert not clock.playing
    assert clock.time_s == 3.0
    clock.play()
    assert clock.playing
    assert clock.time_s == 0.0
    clock.pause()
    clock.play(-1)
    assert clock.time_s == 3.0


def test_pause_and_go_on(clock, watch):
    clock.toggle()
    watch.s += 0.4
    clock.toggle()
    watch.s += 9
    assert clock.time_s == pytest.approx(0.4)
    clock.toggle()
    watch.s += 0.1
    assert clock.time_s == pytest.approx(0.5)


def test_changing_speed_or_direction_while_playing_does_not_jump(clock, watch):
    clock.play()
    watch.s += 1
    clock.set_speed(0.1)
    assert clock.time_s == pytest.approx(1)
    watch.s += 1
    assert clock.time_s == pytest.approx(1.1)
    clock.play(-1)
    assert clock.time_s == pytest.approx(1.1)
    watch.s += 1
    assert clock.time_s == pytest.approx(1.0)


def test_from_the_last_slow_speed_to_full_and_back(clock):
    clock.set_speed(0.1)
    for wanted in (1.0, 0.1, 1.0, 0.1):
        clock.toggle_full_speed()
        assert clock.speed == wanted
    fresh = Clock(0, 1)
    assert fresh.speed < 1
    slow = fresh.speed
    fresh.toggle_full_speed()
    fresh.toggle_full_speed()
    assert fresh.speed == slow


@pytest.mark.parametrize("speed", [0.0, -1.0, float("nan")])
def test_no_such_speed(clock, speed):
    with pytest.raises(ValueError, match="speed"):
        clock.set_speed(speed)


def test_a_seek_while_playing_goes_on_from_there(clock, watch):
    clock.play()
    watch.s += 1
    clock.seek(2)
    watch.s += 0.5
    assert clock.time_s == pytest.approx(2.5)
    clock.seek(99)
    assert clock.time_s == 3
    clock.seek(-99)
    assert clock.time_s == 0


def test_a_loop_forwards_and_backwards(clock, watch):
    clock.repeat(1.0, 1.5)
    clock.play(1)
    assert clock.time_s == pytest.approx(1.0)
    watch.s += 0.7
    assert clock.time_s == pytest.approx(1.2)
    watch.s += 50.0
    assert clock.time_s == pytest.approx(1.2)
    assert clock.playing
    clock.play(-1)
    watch.s += 0.3
    assert clock.time_s == pytest.approx(1.4)
    clock.stop_repeating()
    assert clock.time_s == pytest.approx(1.4)
    watch.s += 9
    assert clock.time_s == 0
    with pytest.raises(ValueError, match="ends after"):
        clock.repeat(1, 1)


def test_another_film(clock, watch):
    clock.repeat(1, 2)
    clock.play()
    clock.cover(0.5, 0.9)
    assert (clock.time_s, clock.playing, clock.loop) == (0.5, False, None)


def test_a_single_picture_does_not_play(watch):
    clock = Clock(0, 0, watch)
    clock.play()
    assert not clock.playing


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["play", "back", "pause", "slow", "full", "loop", "end loop", "seek"]),
            st.floats(0, 4),
        )
    )
)
def test_the_time_never_leaves_the_film(acts):
    watch = Watch()
    clock = Clock(0.0, 3.0, watch)
    for act, number in acts:
        match act:
            case "play":
                clock.play(1)
            case "back":
                clock.play(-1)
            case "pause":
                clock.pause()
            case "slow":
                clock.set_speed(0.1)
            case "full":
                clock.toggle_full_speed()
            case "loop":
                clock.repeat(min(number, 2.5), 3.0)
            case "end loop":
                clock.stop_repeating()
            case "seek":
                clock.seek(number)
        watch.s += number
        assert 0 <= clock.time_s <= 3
        standing = clock.time_s
        if not clock.playing:
            watch.s += 1
            assert clock.time_s == standing


def test_late_ticks_drop_frames_but_never_slow_down(clock, watch):
    """Ticks that come too late leave frames out; the film ends when it should."""
    times = np.arange(720) / 240
    late = np.random.default_rng(3).uniform(0.004, 0.08, 200)
    clock.play()
    begun = watch.s
    for wait in late:
        watch.s += wait
        due = int(np.searchsorted(times, clock.time_s + 1e-9, side="right")) - 1
        assert due == min(int((watch.s - begun) * 240 + 1e-6), 719)
        if not clock.playing:
            break
    assert watch.s - begun == pytest.approx(3.0, abs=0.08)


def test_drops_are_counted():
    drops = DropCount()
    drops.begin()
    assert drops.kept_share == 1
    for due, shown in [(0, 0), (4, 4), (8, None), (12, 8), (16, 16)]:
        drops.due(due)
        if shown is not None:
            drops.shown(shown)
    drops.due(20)
    assert (drops.ticks, drops.dropped) == (5, 2)
    assert drops.kept_share == pytest.approx(0.6)
    drops.begin()
    assert drops.ticks == drops.dropped == 0
