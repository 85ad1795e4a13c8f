"""The timer runs only while the clock does."""

import pytest
from PySide6.QtCore import QTimer

from app.film.clock import Clock
from app.film.ticker import Ticker


class Watch:
    def __init__(self):
        self.s = 0.0

    def __call__(self):
        return self.s


@pytest.fixture
def watch():
    return Watch()


@pytest.fixture
def ticker(qapp, watch):
    ticker = Ticker(Clock(0.0, 3.0, watch))
    ticker.set_speed(1.0)
    yield ticker
    ticker.shutdown()


def runs(ticker):
    return ticker.findChild(QTimer).isActive()


def test_says_the_time_of_the_clock(ticker, watch, qtbot):
    said, playing = [], []
    ticker.moved.connect(said.append)
    ticker.playing_changed.connect(playing.append)
    assert not runs(ticker)
    ticker.play(1)
    assert runs(ticker)
    watch.s = 1.25
    qtbot.waitUntil(lambda: 1.25 in said)
    watch.s = 99
    qtbot.waitUntil(lambda: said[-1] == 3.0)
    assert not runs(ticker)
    assert playing == [True, False]


def test_every_act_is_said(ticker, watch):
    said, speeds = [], []
    ticker.moved.connect(said.append)
    ticker.speed_changed.connect(speeds.append)
    ticker.seek(2.0)
    ticker.toggle()
    watch.s = 0.5
    ticker.toggle()
    ticker.repeat(1.0, 1.5)
    ticker.stop_repeating()
    ticker.set_speed(0.5)
    ticker.toggle_full_speed()
    ticker.toggle_full_speed()
    ticker.pause()
    ticker.cover(0.0, 1.0)
    assert said == [2.0, 2.0, 2.5, 1.0, 1.0, 1.0, 0.0]
    assert speeds == [0.5, 1.0, 0.5]
    assert not runs(ticker)
