"""Two rails on one axis: the same moment at the same height, whatever is zoomed."""

from types import SimpleNamespace

import pytest
from PySide6.QtWidgets import QWidget

from app.compare.axis import SharedAxis
from app.compare.sides import TwoSides
from app.rail.rail import StepRail


class Reaching(StepRail):
    """A rail that reaches over a stretch of time without a run."""

    def __init__(self, parent, whole, eventful):
        super().__init__(parent)
        self._stretch = whole, eventful

    @property
    def reach(self):
        """All of it, and the part with events."""
        return self._stretch


@pytest.fixture
def rails(qtbot):
    owner = QWidget()
    qtbot.addWidget(owner)
    one = Reaching(owner, (-1.0, 3.0), (0.0, 2.0))
    two = Reaching(owner, (-0.5, 5.0), (0.0, 2.5))
    for rail in (one, two):
        rail.resize(300, 600)
    sides = TwoSides(SimpleNamespace(rail=one), SimpleNamespace(rail=two))
    yield one, two, SharedAxis(sides, owner)
    owner.close()


@pytest.mark.parametrize("later_s", [0.0, 0.4, -0.7])
def test_a_moment_stands_at_one_height(rails, later_s):
    one, two, axis = rails
    axis.lay(later_s)
    for time_s in (-0.3, 0.0, 1.9):
        assert one.scale.y(time_s) == pytest.approx(two.scale.y(time_s + later_s), abs=0.01)
    assert one.scale.px_per_s == pytest.approx(two.scale.px_per_s)


def test_the_events_of_both_are_in_sight(rails):
    one, two, axis = rails
    axis.lay(0.4)
    for rail, (first, last) in ((one, (0.0, 2.0)), (two, (0.0, 2.5))):
        assert rail.scale.y(first) >= rail.scale.top_px - 1
        assert rail.scale.y(last) <= rail.scale.bottom_px + 1


def test_what_one_zooms_the_other_follows(rails):
    one, two, axis = rails
    axis.lay(0.4)
    before = one.scale.px_per_s
    two.share_axis(two.scale.zoomed(2.0, 200.0), fitted=False)
    axis._follow(two, fitted=False, anew=False)
    assert one.scale.px_per_s > 1.5 * before
    assert one.scale.y(1.0) == pytest.approx(two.scale.y(1.4), abs=0.01)
