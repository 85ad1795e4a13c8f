"""Rows of jumps: each flight, and the contact between two."""

import pytest

from analysis.reading.drills.jump import flights_of
from analysis.values.comparison import MeasureKey
from analysis.values.drill_film import DrillEvent, DrillKind
from analysis.values.estimate import NoValue
from analysis.values.run import Side
from tests.helpers.drill_evidence import evidence_of, reading_of, rep

RATE = 240
OFF, DOWN = DrillEvent.PUSH_OFF, DrillEvent.LANDING
BOUNDS = ((OFF, 20), (DOWN, 80), (OFF, 116), (DOWN, 170))


def test_flights_pair_each_push_off_with_the_next_landing():
    assert flights_of(rep(1, 0, 199, *BOUNDS)) == [(20, 80), (116, 170)]
    assert flights_of(rep(1, 0, 199, (DOWN, 80))) == [(None, 80)]
    assert flights_of(rep(1, 0, 199, (OFF, 20), (OFF, 116), (DOWN, 170))) == [(20, None), (116, 170)]
    assert flights_of(rep(1, 0, 199)) == [(None, None)]


def test_two_bounds_and_the_contact_between():
    # the left foot pushes at 0.5 m, the right one lands at 2.1 m, pushes there, the left one lands at 3.6 m
    tips = {
        "left_toe": {19: (0.5, 0.02), 80: (1.4, 0.5), 170: (3.6, 0.0)},
        "right_toe": {19: (0.2, 0.4), 80: (2.1, 0.0), 115: (2.1, 0.02), 170: (3.0, 0.6)},
    }
    one = reading_of(DrillKind.JUMP, evidence_of(tips, 200, RATE), rep(1, 0, 199, *BOUNDS)).reps[0]
    for name, nth, truth in (
        ("jump_flight_s", 1, 60 / RATE),
        ("jump_flight_s", 2, 54 / RATE),
        ("jump_contact_s", 1, 36 / RATE),
    ):
        assert one.result(MeasureKey(name, step=nth)).value == pytest.approx(truth, abs=1e-9)
    for nth, truth in ((1, 1.6), (2, 1.5)):
        distance = one.result(MeasureKey("jump_distance_m", step=nth))
        assert distance.value == pytest.approx(truth, abs=0.01)
        assert distance.low < truth < distance.high
    assert isinstance(one.result(MeasureKey("jump_projection_deg", step=1)), NoValue)
    # both bounds share the right foot's place: their errors go together
    first, second = (one.numbers[MeasureKey("jump_flight_s", step=n)] for n in (1, 2))
    contact = one.numbers[MeasureKey("jump_contact_s", step=1)]
    whole = first + contact + second
    assert float(whole.std_dev) == pytest.approx(float(first.std_dev), rel=1e-6)


def test_a_landing_without_a_push_off_asks_for_it():
    one = reading_of(DrillKind.JUMP, evidence_of({}, 200, RATE), rep(1, 0, 199, (DOWN, 80))).reps[0]
    assert "push-off" in one.result(MeasureKey("jump_flight_s")).reason


def test_missing_tips_are_asked_for_on_their_frames():
    one = reading_of(DrillKind.JUMP, evidence_of({}, 200, RATE), rep(1, 0, 199, *BOUNDS[:2])).reps[0]
    assert (19, f"{Side.RIGHT}_toe") in one.wanted
    assert (80, f"{Side.RIGHT}_toe") in one.wanted
