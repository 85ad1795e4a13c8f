"""The start push of a drawn run, and the order of its events."""

import math

import numpy as np
import pytest

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.rest import stirs_from
from analysis.derive.footfalls.start import _first_movement, in_order
from analysis.values.film import FrameNumber
from tests.analysis.derive.footfalls.test_draft import drafts  # noqa: F401  a fixture

WITHIN = 3  # frames at 120 a second


@pytest.mark.parametrize(
    ("first", "rear", "kept"),
    [(10, 30, 10), (30, 30, None), (31, 30, None), (10, None, 10), (None, 30, None)],
)
def test_a_first_movement_after_the_rear_foot_left_is_not_told(first, rear, kept):
    assert in_order(None if first is None else FrameNumber(first), rear) == kept


def test_the_feet_of_the_start_leave_as_drawn_and_in_order(drafts, drawn):  # noqa: F811
    run, start = drawn[0], drafts["plain"].start
    assert start.front_toe_off == pytest.approx(math.ceil(run.front_s * run.fps), abs=WITHIN)
    told = [start.first_movement, start.rear_toe_off, start.front_toe_off]
    told = [one for one in told if one is not None]
    assert told == sorted(set(told))


def resting(count, begins, accelerates):
    """Small pictures of a disc over a patterned ground, at rest until ``begins``, then ever faster."""
    chance = np.random.default_rng(3)
    ground = np.kron(chance.uniform(80, 140, (15, 30)), np.ones((4, 4)))
    rows, columns = np.indices(ground.shape)
    out = []
    for number in range(count):
        u = 40.0 + accelerates * max(0, number - begins) ** 2 / 2
        disc = np.clip(8.5 - np.hypot(columns - u, rows - 30), 0, 1)
        picture = ground * (1 - disc) + 200 * disc + chance.normal(0, 1.0, ground.shape)
        out.append(np.clip(picture, 1, 255).astype(np.uint8))
    return np.stack(out)


@pytest.mark.parametrize("accelerates", [0.02, 0.05, 0.2])
def test_a_body_stirs_before_it_is_seen_to_move_from_picture_to_picture(accelerates):
    small = resting(80, 40, accelerates)
    begin = stirs_from(small, np.ones(small.shape, np.bool_), 40, 50, 30.0, 60.0)
    assert 40 < begin < 50
    # by then it has gone less than half a pixel
    assert accelerates * (begin - 1 - 40) ** 2 / 2 < 0.5


def test_one_that_was_not_seen_at_rest_stirs_when_it_is_seen_to_move():
    small = resting(40, 5, 0.1)
    assert stirs_from(small, np.ones(small.shape, np.bool_), 40, 9, 30.0, 60.0) == 9


def test_what_a_followed_camera_does_not_always_see_stirs_nobody():
    small = resting(80, 40, 0.05)
    seen = np.ones(small.shape, np.bool_)
    seen[:30, :, 60:] = False
    small[:30, :, 60:] = 0
    assert 40 < stirs_from(small, seen, 40, 54, 30.0, 60.0) < 54


@pytest.mark.parametrize(
    ("there", "stirs", "told"),
    [
        ([(40, 100)], 40.0, 40),
        ([(40, 60), (66, 100)], 40.0, 40),  # it holds for a moment
        ([(20, 30), (60, 100)], 20.0, 60),  # it rocked, and rested
        ([(40, 100)], 33.0, 33),
        ([(5, 100)], 5.0, None),  # no rest was seen
        ([(40, 60)], 40.0, None),  # it stood still when the foot left
    ],
)
def test_the_first_movement_begins_the_stretch_that_leads_to_the_front_toe_off(there, stirs, told):
    moves = np.zeros(120, np.bool_)
    for begin, end in there:
        moves[begin:end] = True
    nowhere = np.full(120, np.nan)
    body = BodyPath(np.zeros(120), moves, 100.0, nowhere, nowhere, 0.0, stirs)
    assert _first_movement(body, 100, 60.0) == told
