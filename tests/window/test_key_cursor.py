"""Placing without a mouse: only keys, from the tool to the point."""

import pytest

from tests.window.test_body_walk import BODY


def here(coach) -> dict[str, tuple[float, float]]:
    return {p.name: (p.u, p.v) for p in coach.bench.run.points if p.frame == coach.bench.frame}


def walk_to(coach, u: float, v: float) -> None:
    """Arrows, far ones first, until the cursor stands there."""
    for axis, (less, more), goal in ((0, ("Left", "Right"), u), (1, ("Up", "Down"), v)):
        away = goal - coach.view.pointer[axis]
        for step, keys in ((20.0, "Shift+"), (1.0, ""), (0.1, "Alt+")):
            count = round(abs(away) / step - 0.5 * (step > 1)) if step > 0.1 else round(abs(away) / step)
            coach.press(keys + (more if away > 0 else less), count)
            away = goal - coach.view.pointer[axis]


def test_a_body_is_placed_with_arrows_and_return(marked):
    coach = marked
    coach.go_to(40)
    coach.press("Shift+K")
    coach.press("Shift+B")
    tool = coach.workspace.toolbox.body
    for name in ("head", "neck", "right_shoulder"):
        assert tool.asked == name
        walk_to(coach, *BODY[name])
        coach.press("Return")
    assert here(coach) == {
        name: pytest.approx(BODY[name], abs=0.06) for name in ("head", "neck", "right_shoulder")
    }
    assert coach.bench.frame == 40
    assert "Return clicks" in coach.view.accessibleDescription()
    coach.press("Shift+Return")
    assert tool.asked == "right_wrist"


def test_the_cursor_begins_where_the_point_lay_on_the_nearest_frame(marked):
    coach = marked
    coach.go_to(40)
    coach.press("Shift+B")
    coach.click(*BODY["head"])
    coach.click(*BODY["neck"])
    coach.press("Esc")
    coach.go_to(44)
    coach.press("Shift+K")
    coach.press("Shift+B")
    assert coach.view.pointer == pytest.approx(BODY["head"])
    coach.press("Right", 3)
    coach.press("Return")
    head = here(coach)["head"]
    assert head == pytest.approx((BODY["head"][0] + 3, BODY["head"][1]))
    assert coach.view.pointer == pytest.approx((BODY["neck"][0] + 3, BODY["neck"][1]))  # as the head has gone


def test_a_line_and_a_mark_are_placed_with_keys(marked):
    coach = marked
    coach.go_to(40)
    lines, marks = set(coach.bench.run.lines), len(coach.bench.run.marks)
    coach.press("Shift+K")
    coach.press("G")
    coach.press("Return")
    coach.press("Shift+Right", 2)
    coach.press("Return")
    (line,) = set(coach.bench.run.lines) - lines
    assert abs(line.upper[0] - line.lower[0]) == pytest.approx(40.0)
    coach.press("Esc")
    coach.press("M")
    coach.press("Return")
    question = coach.workspace.toolbox.question
    assert question.isVisible()
    coach.qtbot.keyClicks(question.along, "2.5")
    coach.press("Return", on=question.along)
    assert len(coach.bench.run.marks) == marks + 1


def test_without_a_tool_arrows_still_step_through_the_film(marked):
    coach = marked
    coach.press("Shift+K")
    coach.press("Right")
    coach.wait_for(21)
    coach.press("Shift+K")
    coach.press("Shift+B")
    coach.press("Right")
    coach.wait_for(22)
