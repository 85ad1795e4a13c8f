"""Two sides under one clock, without films: the maps of time, the slips, what is kept for a pair of runs."""

from types import SimpleNamespace

import pytest
from PySide6.QtWidgets import QWidget

from analysis.reading.laying import Lock, LockKind
from analysis.reading.lock import EventKind, Moment
from app.compare.choices import Choices
from app.compare.pairing import Pairing
from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.film.clock import Clock
from app.film.ticker import Ticker
from app.settings import Settings
from tests.app.compare.looks import a_look

MOVED, DOWN, OFF = 20, 90, 130
"""First movement, touchdown and toe-off of step 1, frames of the marked run."""


@pytest.fixture
def pairing(qtbot, tmp_path):
    owner = QWidget()
    qtbot.addWidget(owner)
    ticker = Ticker(Clock(), owner)
    sides = TwoSides(*(CompareSide(ticker, 1000, owner) for _ in range(2)))
    choices = Choices(Settings(tmp_path / "settings.json"))
    pairing = Pairing(ticker, sides, choices, owner)
    yield pairing
    for side in sides:
        side.pane.shutdown()
    ticker.shutdown()
    owner.close()


def show(pairing, upper, lower):
    pairing.sides.upper.look, pairing.sides.lower.look = upper, lower
    pairing.lay(pairing.sides.upper)


def other_frame(pairing, frame, rates=(240, 120)):
    """The lower film's frame, not whole, at the moment of a frame of the upper one."""
    upper, lower = pairing.sides
    return lower.pane.time_map.film_s(upper.pane.time_map.master_s(frame / rates[0])) * rates[1]


@pytest.fixture
def laid(pairing):
    show(pairing, a_look("one", 240), a_look("two", 120))
    return pairing


def slip(pairing, place, frames, rate_hz):
    """As the side's buttons do, on a film of so many frames a second."""
    side = tuple(pairing.sides)[place]
    side.pane._film = SimpleNamespace(facts=side.look.facts, frames=300)
    pairing.slip(side, frames)
    side.pane._film = None


def test_they_meet_at_first_movement_and_run_at_one_pace(laid):
    assert laid.trouble == ""
    for frame in (MOVED, MOVED + 50, 0):
        assert other_frame(laid, frame) == pytest.approx(MOVED + (frame - MOVED) / 2)


def test_they_meet_at_another_event(laid):
    laid.choose(Lock(LockKind.EVENT, Moment(EventKind.TOUCHDOWN, 1)), laid.sides.upper)
    assert other_frame(laid, DOWN) == pytest.approx(DOWN)
    assert other_frame(laid, MOVED) == pytest.approx(DOWN - (DOWN - MOVED) / 2)


def test_all_events_meet(laid):
    laid.choose(Lock(LockKind.ALL_EVENTS), laid.sides.upper)
    for frame in (MOVED, DOWN, OFF, (DOWN + OFF) / 2):
        assert other_frame(laid, frame) == pytest.approx(frame)


def test_what_can_not_be_is_said_and_they_meet_at_first_movement(laid):
    laid.choose(Lock(LockKind.EVENT, Moment(EventKind.TOUCHDOWN, 9)), laid.sides.upper)
    assert "not tagged in both" in laid.trouble
    assert other_frame(laid, MOVED) == pytest.approx(MOVED)


def test_a_slip_moves_one_film_against_the_other_and_another_lock_takes_it_back(laid):
    slip(laid, 1, 3, 120)
    assert other_frame(laid, MOVED) == pytest.approx(MOVED + 3)
    slip(laid, 0, -4, 240)
    assert other_frame(laid, MOVED - 4) == pytest.approx(MOVED + 3)
    laid.choose(Lock(), laid.sides.upper)
    assert other_frame(laid, MOVED) == pytest.approx(MOVED)
    assert [side.slip_frames for side in laid.sides] == [0, 0]


def test_swapped_they_still_show_the_same_moments(laid):
    slip(laid, 1, 3, 120)
    laid.sides.swap()
    laid.turned()
    assert other_frame(laid, MOVED + 3, (120, 240)) == pytest.approx(MOVED)
    assert [side.look.run.id for side in laid.sides] == ["two", "one"]


def test_what_was_chosen_comes_back_with_its_runs_whichever_is_above(laid):
    slip(laid, 1, 3, 120)
    laid.sides.lower.mirror.setChecked(True)
    laid.same_scale = False
    laid.keep()
    three = a_look("three", 60)
    show(laid, a_look("one", 240), three)
    assert [side.slip_frames for side in laid.sides] == [0, 0]  # of these two nothing was chosen
    laid.same_scale = True
    laid.keep()
    show(laid, a_look("two", 120), a_look("one", 240))
    assert [side.slip_frames for side in laid.sides] == [3, 0]
    assert [side.mirror.isChecked() for side in laid.sides] == [True, False]
    assert not laid.same_scale
    assert other_frame(laid, MOVED + 3, (120, 240)) == pytest.approx(MOVED)


def test_the_clock_covers_both_films(laid):
    clock = laid._ticker.clock
    first = -MOVED / 120  # the slower film has more time before the first movement
    last = (299 - MOVED) / 120
    clock.seek(-100)
    assert clock.time_s == pytest.approx(first)
    clock.seek(100)
    assert clock.time_s == pytest.approx(last)


def test_the_rails_stand_on_one_axis(laid):
    laid.choose(Lock(LockKind.EVENT, Moment(EventKind.TOUCHDOWN, 1)), laid.sides.upper)
    rails = [side.rail for side in laid.sides]
    for side in laid.sides:
        side.rail.resize(300, 600)
        side.rail.show_run(side.look.run, side.look.facts.times, side.look.reading)
    laid.lay(laid.sides.upper)
    at = [(DOWN - MOVED) / rate for rate in (240, 120)]  # of touchdown, counted from first movement
    assert rails[0].scale.y(at[0]) == pytest.approx(rails[1].scale.y(at[1]), abs=0.5)
