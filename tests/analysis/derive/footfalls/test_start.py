"""The start push of a drawn run, and the order of its events."""

import math

import pytest

from analysis.derive.footfalls.start import in_order
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
