"""Bad points are named, good ones left in peace: points of the sample clips' truth, spoiled on purpose.

The renderer that made the truth shares no code with the checks. Clicks are 1.5 px off along each axis.
"""

from dataclasses import replace

import pytest

from analysis.body.point_checks import changed_over, length_doubts, off_picture
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from tests.analysis.body.marked_bodies import SECONDS, Marked, rows, swapped

BAD = 240  # a frame in full run


@pytest.fixture(scope="module", params=["wing_day1", "wing_day2"])
def marked(request):
    return Marked(request.param)


def longer(points, frame, one, other, share=1.6):
    """The second of two points on a frame so much farther from the first."""
    by_place = {(p.frame, p.name): p for p in points}
    root, end = by_place[frame, one], by_place[frame, other]
    far = replace(end, u=root.u + share * (end.u - root.u), v=root.v + share * (end.v - root.v))
    return [far if p == end else p for p in points]


def named(found, *words):
    return {int(d.frame) for d in found if all(word in d.sentence for word in words)}


def test_what_is_placed_well_is_left_in_peace(marked):
    found = rows(marked.by_gap)
    assert changed_over(found, SECONDS) == []
    assert len(length_doubts(found, SECONDS)) <= 1  # of 1000 limbs, at clicks of 1.5 px on a body of 130 px
    assert len(length_doubts(rows(marked.at_events), SECONDS)) <= 1
    beyond = [(p.frame, p.name) for p in marked.by_gap if p.u > 1280]  # an arm that has left the picture
    assert [(d.frame, d.name) for d in off_picture(marked.by_gap, 1280, 720)] == beyond


def test_left_for_right_on_one_frame_is_named(marked):
    found = changed_over(rows(swapped(marked.by_gap, {BAD})), SECONDS)
    assert [d.frame for d in found] == [BAD]
    assert f"frame {BAD}" in found[0].sentence


def test_a_limb_that_lengthens_by_half_is_named_with_both_frames(marked):
    found = length_doubts(rows(longer(marked.by_gap, BAD, "right_hip", "right_knee")), SECONDS)
    thigh = [d for d in found if "right hip" in d.sentence and "right knee" in d.sentence]
    assert {d.frame for d in thigh} == {BAD, BAD + 12}
    assert f"frame {BAD - 12}" in thigh[0].sentence


def test_a_thigh_that_lengthens_by_half_is_named_on_frames_far_apart_too(marked):
    """As where a film of 30 frames a second has points on its touchdowns alone."""
    few = [p for p in marked.by_gap if p.frame % 60 == 0 and p.name.endswith(("hip", "knee", "ankle"))]
    assert length_doubts(rows(few), SECONDS) == []
    found = length_doubts(rows(longer(few, BAD, "right_hip", "right_knee")), SECONDS)
    assert BAD in named(found, "right hip", "right knee")


@pytest.mark.parametrize(
    ("one", "other", "words"),
    [("heel", "toe", ("right heel", "right shoe tip")), ("hip", "shoulder", ("right hip", "right shoulder"))],
)
def test_a_shoe_or_a_trunk_that_lengthens_by_half_is_named_in_the_set_position_too(marked, one, other, words):
    """The next placed frame is a third of a second away. The trunk of a body that crouches is shorter as it
    is, and so the longer one is that of the next frame.
    """
    at = marked.start.first_movement if other == "toe" else marked.start.rear_toe_off
    found = length_doubts(rows(longer(marked.at_events, at, f"right_{one}", f"right_{other}")), SECONDS)
    assert named(found, *words, f"on frame {at}")


def test_a_point_off_the_picture_is_named():
    points = [
        BodyPoint(FrameNumber(3), "head", 1300.0, 20.0),
        BodyPoint(FrameNumber(3), "neck", 1279.0, 20.0),
    ]
    found = off_picture(points, 1280, 720)
    assert [(d.frame, d.name) for d in found] == [(3, "head")]
    assert "off the picture" in found[0].sentence
