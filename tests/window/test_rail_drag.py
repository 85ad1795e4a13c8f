"""An edge of the rail under the hand: the film follows, letting go is one edit, a refusal says why."""

import pytest
from PySide6.QtCore import QPoint, Qt

LEFT = Qt.MouseButton.LeftButton


class Hand:
    """Takes hold of an edge of a block and moves it to the height of a frame."""

    def __init__(self, coach) -> None:
        self.coach = coach
        self.rail = coach.workspace.rail
        self.times = coach.bench.facts.times
        self.x = 0

    def _at(self, y: float) -> QPoint:
        return QPoint(self.x, round(y))

    def hold(self, footfall: str, which: str) -> None:
        block = self.rail._content.block(footfall)
        self.x = round(self.rail._columns.track_x(block.track)) + 6
        inside = 2 if which == "touchdown" else -2
        self.y = self.rail.scale.y(block.edge_s(which)) + inside
        self.coach.qtbot.mousePress(self.rail, LEFT, pos=self._at(self.y))

    def to(self, frames: int) -> None:
        """Go on by so many frames' worth of height."""
        self.y += frames / 240 * self.rail.scale.px_per_s
        step = 5 if frames > 0 else -5
        self.coach.qtbot.mouseMove(self.rail, self._at(self.y - step))
        self.coach.qtbot.mouseMove(self.rail, self._at(self.y))

    def let_go(self) -> None:
        self.coach.qtbot.mouseRelease(self.rail, LEFT, pos=self._at(self.y))


@pytest.fixture
def hand(marked):
    return Hand(marked)


def toe_offs(coach) -> list[int]:
    return [f.toe_off for f in coach.bench.run.footfalls]


def test_the_film_follows_and_letting_go_is_one_edit(marked, hand):
    hand.hold("a", "toe_off")
    hand.to(10)
    assert marked.bench.stack.count() == 0
    assert abs(marked.pane.wanted - 140) <= 2
    held = marked.pane.wanted
    marked.wait_for(held)
    hand.let_go()
    assert marked.bench.stack.count() == 1
    assert toe_offs(marked) == [held, 180, 230]
    assert marked.bench.reading.steps[0].toe_off == held
    marked.press("Ctrl+Z")
    assert toe_offs(marked) == [130, 180, 230]


def test_escape_gives_it_back(marked, hand, qtbot):
    before = marked.bench.run
    hand.hold("a", "toe_off")
    hand.to(10)
    qtbot.keyClick(hand.rail, Qt.Key.Key_Escape)
    hand.let_go()
    assert marked.bench.run == before
    assert marked.bench.stack.count() == 0


def test_a_contradiction_says_why_and_the_rail_returns(marked, hand):
    """The left foot must not leave the ground after the right one that landed later."""
    top = hand.rail._content.block("a").bottom_s
    hand.hold("a", "toe_off")
    hand.to(55)
    hand.let_go()
    assert "out of order" in marked.notice
    assert marked.bench.stack.count() == 0
    assert hand.rail._content.block("a").bottom_s == pytest.approx(top)


def test_keys_move_the_edge_that_is_held(marked, qtbot):
    rail = marked.workspace.rail
    rail.setFocus()
    marked.press(".", 4)
    marked.wait_for(130)
    qtbot.keyClick(rail, Qt.Key.Key_Return)
    qtbot.keyClick(rail, Qt.Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert toe_offs(marked)[0] == 131
    marked.wait_for(131)
    qtbot.keyClick(rail, Qt.Key.Key_Down)
    qtbot.keyClick(rail, Qt.Key.Key_PageDown)
    assert marked.pane.wanted == 142


def test_quick_keys_on_the_rail_all_count(marked, qtbot):
    rail = marked.workspace.rail
    rail.setFocus()
    for _ in range(15):
        qtbot.keyClick(rail, Qt.Key.Key_Down)
    marked.wait_for(35)
