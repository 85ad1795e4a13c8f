"""Playing by a clock that the test holds: which frame is due depends on the time alone."""

import pytest

RATE = 240


class Time:
    """Seconds that stand until the test moves them."""

    def __init__(self) -> None:
        self.s = 100.0

    def __call__(self) -> float:
        return self.s


@pytest.fixture
def time(marked):
    held = Time()
    marked.pane.ticker.clock._now = held
    marked.pane.ticker._timer.timeout.disconnect(marked.pane.ticker.tick)  # ticks come from the test
    return held


def after(coach, time, frames: float) -> int:
    """The frame that is due when so many frames' worth of the chosen speed have gone by."""
    time.s += (frames + 0.25) / RATE / coach.pane.ticker.clock.speed
    coach.pane.ticker.tick()
    return coach.pane.wanted


def test_playing_and_pausing(marked, time):
    coach = marked
    coach.press("Space")
    assert coach.pane.ticker.clock.playing
    assert after(coach, time, 10) == 30
    assert after(coach, time, 50) == 80
    coach.press("Space")
    assert not coach.pane.ticker.clock.playing
    assert after(coach, time, 10) == 80
    coach.wait_for(80)


def test_playing_backwards_and_to_the_end(marked, time):
    coach = marked
    coach.press("Shift+Space")
    time.s += 10.5 / RATE / coach.pane.ticker.clock.speed
    coach.pane.ticker.tick()
    assert coach.pane.wanted == 9
    assert after(coach, time, 50) == 0
    assert not coach.pane.ticker.clock.playing
    coach.press("Space")
    assert after(coach, time, 1000) == 299
    assert not coach.pane.ticker.clock.playing
    coach.wait_for(299)


def test_a_step_pauses(marked, time):
    coach = marked
    coach.press("Space")
    after(coach, time, 10)
    coach.press("Right")
    assert not coach.pane.ticker.clock.playing
    coach.wait_for(31)


def test_slow_and_full_speed(marked, time):
    coach, clock = marked, marked.pane.ticker.clock
    slow = clock.speed
    assert slow < 1
    coach.press("Z")
    assert clock.speed == 1.0
    assert coach.workspace.transport.speed.currentData() == 1.0
    coach.press("Z")
    assert clock.speed == slow
    coach.press("-")
    slower = clock.speed
    assert slower < slow
    coach.press("Z", 2)
    assert clock.speed == slower
    coach.press("=", 9)
    assert clock.speed == 1.0
    coach.press("-", 9)
    assert coach.workspace.transport.speed.currentIndex() == 0


def test_a_loop_begins_here_ends_there_and_is_left(marked, time):
    coach = marked
    coach.press("L")
    assert "begins here" in coach.notice
    coach.press("Right", 9)
    coach.wait_for(29)
    coach.press("L")
    assert coach.pane.ticker.clock.playing
    assert coach.pane.strip._loop == (20, 29)
    seen = {after(coach, time, 0.75) for _ in range(25)}
    assert seen == set(range(20, 30))
    coach.press("L")
    assert coach.pane.strip._loop is None
    assert after(coach, time, 60) > 30


def test_a_loop_of_one_frame_is_refused(marked, time):
    coach = marked
    coach.press("L", 2)
    assert "more than one frame" in coach.notice
    assert coach.pane.ticker.clock.loop is None


def test_the_last_two_steps_are_replayed(marked, time):
    coach = marked
    coach.press("Shift+Right", 19)
    coach.wait_for(210)
    coach.press("R")
    assert coach.pane.strip._loop == (90, 210)
    seen = {after(coach, time, 4) for _ in range(60)}
    assert min(seen) >= 90
    assert max(seen) <= 210
    assert max(seen) - min(seen) > 110


def test_without_a_touchdown_there_is_nothing_to_replay(marked, time):
    marked.press("R")
    assert "Tag touchdowns first" in marked.notice


def test_a_loop_ends_with_its_film(marked, time, small):
    coach = marked
    coach.press("L")
    coach.press("Right", 9)
    coach.press("L")
    assert coach.window.open_path(small.with_suffix(".cinderlane"))
    assert coach.pane.ticker.clock.loop is None
    assert coach.pane.strip._loop is None
    coach.wait_for_picture()
