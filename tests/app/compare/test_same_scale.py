"""Two pictures at one scale in metres: the same metre at the same place across, worked out by hand here."""

import pytest

from app.compare.same_scale import Stretch, across, common, matched
from app.film.mapping import ViewMapping


class StraightLane:
    """A lane whose metres lie evenly along a line of the picture."""

    def __init__(self, from_m, to_m, u0, px_per_m, v=400.0):
        self.from_m, self.to_m = from_m, to_m
        self._u0, self._px_per_m, self._v = u0, px_per_m, v

    def pixel(self, x_m):
        """The picture place of a metre."""
        return self._u0 + self._px_per_m * x_m, self._v


def test_the_stretch_is_what_both_show():
    one, two = StraightLane(0, 10, 100, 100), StraightLane(3, 15, 900, -50)
    assert common(one, two) == (
        Stretch((400.0, 400.0), (1100.0, 400.0)),
        Stretch((750.0, 400.0), (400.0, 400.0)),
    )
    assert common(one, StraightLane(10, 20, 0, 10)) is None


@pytest.mark.parametrize(("px_per_m", "u0"), [(50.0, 100.0), (150.0, 20.0), (100.0, -300.0)])
@pytest.mark.parametrize("scale", [0.5, 1.7])
def test_the_same_metre_lies_at_the_same_place_across(px_per_m, u0, scale):
    one, two = StraightLane(0, 10, 100, 100), StraightLane(0, 10, u0, px_per_m, v=300)
    own, other = common(one, two)
    held = ViewMapping().scaled_so(scale, (300.0, 400.0), (250.0, 200.0))
    found = matched(held, own, other, ViewMapping())
    for x_m in (0.0, 3.0, 10.0):
        assert found.to_widget(*two.pixel(x_m)) == pytest.approx(held.to_widget(*one.pixel(x_m)))


def test_runs_to_opposite_sides_have_one_scale_about_one_middle():
    """Ten metres are as long in both, and the fifth metre stands in the middle of both."""
    one, two = StraightLane(0, 10, 100, 100), StraightLane(0, 10, 700, -50)
    own, other = common(one, two)
    held = ViewMapping().scaled_so(0.8, (300.0, 400.0), (250.0, 200.0))
    found = matched(held, own, other, ViewMapping())

    def place(mapping, lane, x_m):
        return mapping.to_widget(*lane.pixel(x_m))[0]

    assert place(found, two, 5) == pytest.approx(place(held, one, 5))
    for x_m in (0.0, 2.0, 10.0):
        away = place(held, one, x_m) - place(held, one, 5)
        assert place(found, two, x_m) - place(found, two, 5) == pytest.approx(-away)
    assert found.scale == pytest.approx(0.8 * 100 / 50)


def test_the_running_line_is_in_sight_where_the_view_is_low():
    view = across((1000.0, 800.0), (500.0, 100.0), Stretch((0, 700), (1000, 700)), ViewMapping())
    assert view.scale == pytest.approx(0.5)
    assert 0 < view.to_widget(0, 700)[1] < 100
    plain = ViewMapping()
    assert across((1000.0, 100.0), (500.0, 400.0), Stretch((0, 70), (1000, 70)), plain) is plain
