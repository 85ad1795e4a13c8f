"""Bad points are named, good ones left in peace: points of the sample clips' truth, spoiled on purpose.

The renderer that made the truth shares no code with the checks. Clicks are 1.5 px off along each axis.
"""

import json
from dataclasses import replace

import numpy as np
import pytest

from analysis.body.point_checks import changed_over, length_doubts, looks_back, off_picture, wrong_foot
from analysis.body.point_rows import rows_of
from analysis.ground.points import by_name
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction, Footfall, Side
from tests.analysis.reading.runs import SAMPLES

SECONDS = np.arange(720) / 240
BAD = 240  # a frame in full run


class Marked:
    """Every point of a clip on every 12th frame."""

    def __init__(self, name):
        with np.load(SAMPLES / f"{name}.truth.npz") as arrays:
            names, pixels = [str(n) for n in arrays["names"]], arrays["pixels"]
        rng = np.random.default_rng(5)
        self.points = [
            BodyPoint(FrameNumber(f), n, *map(float, pixels[f, c] + rng.normal(0, 1.5, 2)))
            for f in range(0, len(pixels), 12)
            for c, n in enumerate(names)
        ]
        steps = json.loads((SAMPLES / f"{name}.json").read_text())["footfalls"]
        self.footfalls = [
            Footfall(str(n), Side(s["side"]), FrameNumber(s["touchdown"]), None) for n, s in enumerate(steps)
        ]
        at_touchdown = {f.touchdown for f in self.footfalls}
        self.at_touchdowns = [
            BodyPoint(FrameNumber(f), n, *map(float, pixels[f, names.index(n)]))
            for f in at_touchdown
            for n in ("left_toe", "right_toe")
        ]


@pytest.fixture(scope="module", params=["wing_day1", "wing_day2"])
def marked(request):
    return Marked(request.param)


def rows(points):
    return rows_of(by_name(points), len(SECONDS))


def swapped(points, frames):
    """Left for right on these frames."""
    return [replace(p, name=other_side(p.name)) if p.frame in frames else p for p in points]


def other_side(name):
    side, _, part = name.partition("_")
    return {"left": f"right_{part}", "right": f"left_{part}"}.get(side, name)


def test_what_is_placed_well_is_left_in_peace(marked):
    found = rows(marked.points)
    assert changed_over(found, SECONDS) == []
    assert len(length_doubts(found, SECONDS)) <= 1  # of 1000 limbs, at clicks of 1.5 px on a body of 130 px
    assert looks_back(found, Direction.RIGHT) == []
    assert wrong_foot(rows(marked.at_touchdowns), marked.footfalls) == []
    beyond = [(p.frame, p.name) for p in marked.points if p.u > 1280]  # an arm that has left the picture
    assert [(d.frame, d.name) for d in off_picture(marked.points, 1280, 720)] == beyond


def test_left_for_right_on_one_frame_is_named(marked):
    found = changed_over(rows(swapped(marked.points, {BAD})), SECONDS)
    assert [d.frame for d in found] == [BAD]
    assert f"frame {BAD}" in found[0].sentence


def test_left_for_right_throughout_is_named_at_the_touchdowns(marked):
    """The shoe that lands lies lower than the one that swings."""
    points = swapped(marked.at_touchdowns, {p.frame for p in marked.at_touchdowns})
    found = wrong_foot(rows(points), marked.footfalls)
    assert len(found) == len(marked.footfalls)
    assert len({d.sentence for d in found}) == 1
    assert f"At {len(found)} of {len(found)} touchdowns" in found[0].sentence


def test_left_for_right_at_one_touchdown_names_that_one(marked):
    (one,) = wrong_foot(
        rows(swapped(marked.at_touchdowns, {marked.footfalls[1].touchdown})), marked.footfalls
    )
    assert one.frame == marked.footfalls[1].touchdown
    assert f"On frame {one.frame}" in one.sentence


def test_a_limb_that_lengthens_by_half_is_named_with_both_frames(marked):
    by_place = {(p.frame, p.name): p for p in marked.points}
    hip, knee = by_place[BAD, "right_hip"], by_place[BAD, "right_knee"]
    long = replace(knee, u=hip.u + 1.6 * (knee.u - hip.u), v=hip.v + 1.6 * (knee.v - hip.v))
    found = length_doubts(rows([long if p == knee else p for p in marked.points]), SECONDS)
    named = [d for d in found if "right hip" in d.sentence and "right knee" in d.sentence]
    assert {d.frame for d in named} == {BAD, BAD + 12}
    assert f"frame {BAD - 12}" in named[0].sentence


def test_a_thigh_that_lengthens_by_half_is_named_on_frames_far_apart_too(marked):
    """As where a film of 30 frames a second has points on its touchdowns alone."""
    few = [p for p in marked.points if p.frame % 60 == 0 and p.name.endswith(("hip", "knee", "ankle"))]
    assert length_doubts(rows(few), SECONDS) == []
    by_place = {(p.frame, p.name): p for p in few}
    hip, knee = by_place[BAD, "right_hip"], by_place[BAD, "right_knee"]
    long = replace(knee, u=hip.u + 1.6 * (knee.u - hip.u), v=hip.v + 1.6 * (knee.v - hip.v))
    found = length_doubts(rows([long if p == knee else p for p in few]), SECONDS)
    assert BAD in {d.frame for d in found if "right hip" in d.sentence and "right knee" in d.sentence}


def test_a_body_mirrored_against_the_run_is_said(marked):
    found = looks_back(rows(marked.points), Direction.LEFT)
    assert len(found) == 1
    assert "direction" in found[0].sentence


def test_a_shoe_that_swings_with_its_tip_behind_the_heel_is_left_in_peace(marked):
    """One foot alone, on the frames on which its tip is behind its heel."""
    by_place = {(p.frame, p.name): p for p in marked.points}
    swinging = {
        side: [
            (heel, tip)
            for (frame, name), heel in by_place.items()
            if name == f"{side}_heel" and (tip := by_place[frame, f"{side}_toe"]).u < heel.u - 2.0
        ]
        for side in Side
    }
    assert sum(map(len, swinging.values())) > 8
    for pairs in swinging.values():
        assert looks_back(rows([p for pair in pairs for p in pair]), Direction.RIGHT) == []


def test_a_point_off_the_picture_is_named():
    points = [
        BodyPoint(FrameNumber(3), "head", 1300.0, 20.0),
        BodyPoint(FrameNumber(3), "neck", 1279.0, 20.0),
    ]
    found = off_picture(points, 1280, 720)
    assert [(d.frame, d.name) for d in found] == [(3, "head")]
    assert "off the picture" in found[0].sentence
