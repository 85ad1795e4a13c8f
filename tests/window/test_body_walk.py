"""A whole body on one frame: one key and nineteen clicks; back, skip, drag, copy and guess."""

import math

import pytest

from analysis.report.body import body_scene, spots_on
from analysis.report.scene import Look
from analysis.values.run import POINT_NAMES, Side
from tests.window.coach import Coach

# a body invented on the small film's picture, px; it runs to the right, so its right side is the near one
BODY = {
    "head": (130, 40), "neck": (126, 52), "right_shoulder": (126, 56), "right_elbow": (114, 66),
    "right_wrist": (108, 76), "mid_back": (120, 68), "right_hip": (112, 86), "right_knee": (132, 96),
    "right_ankle": (126, 118), "right_heel": (122, 122), "right_toe": (134, 124),
    "left_shoulder": (130, 56), "left_elbow": (142, 68), "left_wrist": (152, 60), "left_hip": (116, 86),
    "left_knee": (104, 108), "left_ankle": (84, 120), "left_heel": (78, 118), "left_toe": (84, 130),
}  # fmt: skip


@pytest.fixture
def at_body(marked) -> Coach:
    """A frame without points is on show."""
    marked.go_to(40)
    return marked


def here(coach) -> dict[str, tuple[float, float]]:
    return {p.name: (p.u, p.v) for p in coach.bench.run.points if p.frame == coach.bench.frame}


def tool(coach):
    return coach.workspace.toolbox.body


def test_a_whole_body_is_one_key_and_nineteen_clicks_near_side_first(at_body):
    coach = at_body
    asked = []
    coach.press("Shift+B")
    for _ in range(19):
        asked.append(tool(coach).asked)
        assert tool(coach).guide.asked == asked[-1]
        coach.click(*BODY[asked[-1]])
    assert set(here(coach)) == set(POINT_NAMES) == set(BODY)
    for name, place in here(coach).items():
        assert place == pytest.approx(BODY[name], abs=1e-6)
    sides = [name.split("_")[0] for name in asked if name.startswith(("left", "right"))]
    assert sides == ["right"] * 8 + ["left"] * 8
    assert tool(coach).asked == ""
    assert tool(coach).guide is None
    coach.press("Ctrl+Z", 19)
    assert here(coach) == {}


def test_return_skips_a_point_and_backspace_goes_one_back_without_deleting(at_body):
    coach = at_body
    coach.press("Shift+B")
    coach.click(*BODY["head"])
    assert tool(coach).asked == "neck"
    coach.press("Return")
    assert tool(coach).asked == "right_shoulder"
    assert "right shoulder" in coach.view.accessibleDescription()
    coach.press("Backspace")
    coach.press("Backspace")
    assert tool(coach).asked == "head"
    assert set(here(coach)) == {"head"}
    coach.click(131.0, 41.0)
    assert here(coach)["head"] == pytest.approx((131.0, 41.0))
    assert tool(coach).asked == "neck"
    coach.press("Esc")
    assert coach.workspace.toolbox.in_hand.id == "select_tool"


def test_what_is_placed_is_dragged_nudged_and_deleted(at_body):
    coach = at_body
    coach.press("Shift+B")
    coach.zoom_to(112, 86, 6.0)
    coach.click(*BODY["head"])
    coach.drag(BODY["head"], (135.0, 44.0))
    assert here(coach)["head"] == pytest.approx((135.0, 44.0), abs=1e-6)
    coach.press("Alt+Right")
    assert here(coach)["head"] == pytest.approx((135.1, 44.0), abs=1e-6)
    coach.press("Del")
    assert here(coach) == {}


def test_a_click_beside_the_picture_places_nothing_and_says_how_to_go_on(at_body):
    coach = at_body
    coach.press("Shift+B")
    coach.click(-30.0, -30.0)
    assert here(coach) == {}
    assert "beside the picture" in coach.notice
    assert "Return" in coach.notice
    assert tool(coach).asked == "head"


@pytest.mark.parametrize("in_hand", ["Shift+B", "Esc"])
def test_a_point_dragged_over_the_edge_stays_where_it_was_and_it_is_said(at_body, in_hand):
    coach = at_body
    coach.press("Shift+B")
    coach.click(20.0, 40.0)
    if in_hand == "Esc":
        coach.press("Esc")
    coach.zoom_to(20.0, 40.0, 4.0)
    coach.drag((20.0, 40.0), (-15.0, 40.0))
    assert here(coach)["head"] == pytest.approx((20.0, 40.0))
    assert "stayed where it was" in coach.notice
    coach.drag((20.0, 40.0), (24.0, 41.0))
    assert here(coach)["head"] == pytest.approx((24.0, 41.0), abs=1e-6)


def test_a_copy_is_only_proposed_until_it_is_taken(at_body):
    coach = at_body
    coach.press("Shift+B")
    for _ in range(11):
        coach.click(*BODY[tool(coach).asked])
    coach.press("Esc")
    coach.press("Right", 4)
    coach.wait_for(44)
    coach.press("Shift+B")
    coach.click(133.0, 40.0)  # the head has gone 3 px on, and the copies go with it
    coach.press("Shift+C")
    assert set(here(coach)) == {"head"}
    guessed = {p.name: (p.u, p.v) for p in tool(coach).guesses}
    assert guessed["right_hip"] == pytest.approx((115.0, 86.0))
    coach.press("Esc")
    assert tool(coach).guesses == ()
    coach.press("Shift+C")
    coach.press("Shift+T")
    assert len(here(coach)) == 11
    coach.press("Ctrl+Z")
    assert set(here(coach)) == {"head"}


def test_the_far_side_is_guessed_as_a_mirror_and_marked_as_a_guess(at_body):
    coach = at_body
    coach.press("Shift+B")
    for _ in range(11):
        coach.click(*BODY[tool(coach).asked])
    coach.press("Shift+G")
    guessed = {p.name: (p.u, p.v) for p in tool(coach).guesses}
    assert set(guessed) == {n for n in POINT_NAMES if n.startswith("left_")}
    assert not any(name.startswith("left_") for name in here(coach))
    near = {n[6:]: p for n, p in BODY.items() if n.startswith("right_")}
    far = {n[5:]: p for n, p in guessed.items()}
    # a closed form: mirroring keeps lengths, the joints keep their bend, and the thighs stand about the trunk
    for one, other in (("hip", "knee"), ("knee", "ankle"), ("ankle", "toe"), ("shoulder", "elbow")):
        assert math.dist(far[one], far[other]) == pytest.approx(math.dist(near[one], near[other]), abs=1e-6)
    trunk = direction(near["hip"], BODY["neck"])
    swung = [wrapped(direction(leg["hip"], leg["knee"]) - trunk) for leg in (near, far)]
    assert wrapped(swung[0] + swung[1]) == pytest.approx(0.0, abs=1e-9)
    bend = [
        wrapped(direction(leg["knee"], leg["ankle"]) - direction(leg["hip"], leg["knee"]))
        for leg in (near, far)
    ]
    assert bend[0] == pytest.approx(bend[1], abs=1e-9)


NEAR_AT_NEXT = {
    "right_shoulder": (206, 54), "right_elbow": (219, 66), "right_wrist": (228, 58), "right_hip": (192, 84),
    "right_knee": (180, 106), "right_ankle": (160, 118), "right_heel": (154, 116), "right_toe": (160, 128),
}  # fmt: skip


def test_at_the_other_foot_s_same_event_the_far_side_is_proposed_by_itself(marked):
    """The near leg trails at the left foot's touchdown, frame 90; so the far one does at the right's, 145."""
    coach = marked
    coach.go_to(90)
    coach.press("Shift+B")
    while tool(coach).asked.startswith("right") or tool(coach).asked in ("head", "neck", "mid_back"):
        name = tool(coach).asked
        coach.click(*NEAR_AT_NEXT.get(name, (BODY[name][0] + 80, BODY[name][1])))
    assert tool(coach).guesses == ()  # nothing is known half a stride away
    coach.press("Esc")
    coach.go_to(145)
    coach.press("Shift+B")
    for _ in range(11):
        assert tool(coach).guesses == ()
        coach.click(*BODY[tool(coach).asked])
    guesses = {p.name.removeprefix("left_"): p for p in tool(coach).guesses}
    assert set(guesses) == {n.removeprefix("left_") for n in POINT_NAMES if n.startswith("left_")}
    hip, other_hip = BODY["right_hip"], NEAR_AT_NEXT["right_hip"]
    trunks = [math.dist(p["right_shoulder"], p["right_hip"]) for p in (BODY, NEAR_AT_NEXT)]
    for part in ("knee", "ankle", "heel", "toe"):
        there = NEAR_AT_NEXT[f"right_{part}"]
        expected = [hip[n] + (there[n] - other_hip[n]) * trunks[0] / trunks[1] for n in (0, 1)]
        assert (guesses[part].u, guesses[part].v) == pytest.approx(expected, abs=1e-6)
        assert guesses[part].error_px > 6.0
    assert "Enter takes the guesses" in coach.view.accessibleDescription()
    coach.click(*BODY["left_shoulder"])  # one is placed better than guessed
    coach.press("Return")
    assert set(here(coach)) == set(POINT_NAMES)
    assert here(coach)["left_shoulder"] == pytest.approx(BODY["left_shoulder"])
    assert tool(coach).asked == ""


def test_guesses_that_were_dropped_do_not_come_back_by_themselves(marked):
    coach = marked
    for frame in (90, 145):
        coach.go_to(frame)
        coach.press("Shift+B")
        for _ in range(11):
            coach.click(*BODY[tool(coach).asked])
        coach.press("Esc")
    assert coach.workspace.toolbox.in_hand is tool(coach)  # the guesses alone were dropped
    coach.click(*BODY["left_shoulder"])
    assert tool(coach).guesses == ()


def direction(start, end) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])


def wrapped(angle: float) -> float:
    return math.remainder(angle, 2 * math.pi)


def test_on_another_frame_the_walk_begins_anew(at_body):
    coach = at_body
    coach.press("Shift+B")
    coach.click(*BODY["head"])
    coach.press("Right")
    coach.wait_for(41)
    assert tool(coach).asked == "head"


def test_limbs_near_solid_far_dashed_and_the_trunk_in_two_pieces(at_body):
    coach = at_body
    coach.press("Shift+B")
    for _ in range(19):
        coach.click(*BODY[tool(coach).asked])
    body = body_scene(spots_on(coach.bench.run, None, 40), 40, Side.RIGHT)
    thighs = {s.side: s for s in body.strokes if s.id.endswith("hip-knee")}
    assert thighs[Side.LEFT].far
    assert not thighs[Side.RIGHT].far
    assert thighs[Side.RIGHT].end == pytest.approx(BODY["right_hip"], abs=1e-6)  # the upper end comes last
    trunk = [s for s in body.strokes if s.id.startswith("trunk")]
    assert [s.end for s in trunk[:2]] == [pytest.approx(BODY[n], abs=1e-6) for n in ("mid_back", "neck")]
    assert trunk[0].start == pytest.approx((114.0, 86.0), abs=1e-6)
    assert {s.look for s in body.strokes} == {Look.PLACED}
