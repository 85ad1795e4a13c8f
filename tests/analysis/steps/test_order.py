"""Footfalls that contradict each other are refused in a sentence; a reading goes on without them."""

import pytest

from analysis.steps import check_footfalls, check_start, conflicts
from analysis.values.errors import FootfallError
from analysis.values.film import FrameNumber
from analysis.values.run import Footfall, Side, StartPush


def fall(name, side, down, off, draft=False):
    return Footfall(
        name,
        Side(side),
        None if down is None else FrameNumber(down),
        None if off is None else FrameNumber(off),
        draft=draft,
    )


GOOD = [fall("a", "left", 10, 20), fall("b", "right", 30, 40), fall("c", "left", 50, None)]


@pytest.mark.parametrize(
    "falls",
    [
        [fall("a", "left", 20, 10)],
        [fall("a", "left", 20, 20)],
        [fall("a", "left", 10, 30), fall("b", "left", 25, 40)],
        [fall("a", "left", 10, 30), fall("b", "left", 30, 40)],
        [fall("a", "left", 10, 30), fall("b", "right", 10, 40)],
        [fall("a", "left", 10, 60), fall("b", "right", 30, 50)],
        [*GOOD, fall("d", "left", 15, 22)],
    ],
)
def test_contradictions(falls):
    with pytest.raises(FootfallError) as caught:
        check_footfalls(falls)
    assert str(caught.value).endswith(".")
    with pytest.raises(FootfallError):
        check_footfalls(list(reversed(falls)))


@pytest.mark.parametrize(
    "falls",
    [
        [],
        GOOD,
        [fall("a", "left", 10, 30), fall("b", "right", 28, 45)],  # both feet on the ground for two frames
        [fall("a", "left", 10, None), fall("b", "left", 60, 70)],
        [fall("a", "left", None, 30), fall("b", "right", 20, 45)],
        [*GOOD, fall("d", "left", 12, 5, draft=True)],  # a draft is nobody's word yet
    ],
)
def test_what_may_stand_together(falls):
    check_footfalls(falls)
    assert conflicts(falls) == []


def push(movement, rear, front):
    frames = [None if f is None else FrameNumber(f) for f in (movement, rear, front)]
    return StartPush(*frames, Side.RIGHT)


@pytest.mark.parametrize(
    "start", [push(50, 40, 60), push(50, 55, 50), push(10, 60, 40), push(300, None, None), push(10, 270, 280)]
)
def test_impossible_starts(start):
    with pytest.raises(FootfallError) as caught:
        check_start(start, [fall("a", "left", 250, 290)])
    assert str(caught.value).endswith(".")


@pytest.mark.parametrize(
    "start",
    [push(None, None, None), push(10, 40, 60), push(10, 40, 40), push(None, 40, 260), push(0, None, 30)],
)
def test_possible_starts(start):
    check_start(start, [fall("a", "left", 250, 290)])


def test_a_toe_off_within_a_contact_of_the_same_foot_is_refused():
    whole = Footfall("a", Side.LEFT, FrameNumber(100), FrameNumber(140))
    lone = Footfall("b", Side.LEFT, None, FrameNumber(120))
    assert conflicts([whole, lone])
    assert conflicts([lone, Footfall("c", Side.LEFT, None, FrameNumber(120))])
    assert not conflicts([whole, Footfall("b", Side.RIGHT, None, FrameNumber(120))])
    assert not conflicts([whole, Footfall("b", Side.LEFT, None, FrameNumber(60))])
