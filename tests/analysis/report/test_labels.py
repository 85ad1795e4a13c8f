"""Labels beside what they name: none upon another, none beyond the edge. By geometry alone."""

import itertools

from hypothesis import given
from hypothesis import strategies as st

from analysis.report.labels import Label, Rect, Where, laid_out, lead_of

SURFACE = Rect(0, 0, 1000, 600)


def label(x, y, where=Where.BESIDE):
    return Label("48°", x, y, 40, 20, 10, where)


def test_a_label_stands_to_the_right_of_its_place_and_a_mark_has_it_below():
    assert laid_out([label(500, 300)], [], SURFACE) == [Rect(510, 290, 40, 20)]
    assert laid_out([label(500, 300, Where.BELOW)], [], SURFACE) == [Rect(480, 310, 40, 20)]


def test_at_the_right_edge_it_stands_to_the_left():
    assert laid_out([label(990, 300)], [], SURFACE) == [Rect(940, 290, 40, 20)]


def test_it_gives_way_to_what_stands_there():
    (place,) = laid_out([label(500, 300)], [Rect(505, 280, 60, 40)], SURFACE)
    assert place.overlap(Rect(505, 280, 60, 40)) == 0


places = st.lists(st.tuples(st.floats(300, 700), st.floats(200, 400)), min_size=2, max_size=7)


@given(places)
def test_labels_of_a_body_lie_upon_none_and_on_the_surface(spots):
    found = laid_out([label(x, y) for x, y in spots], [], SURFACE)
    assert all(one.overlap(other) == 0 for one, other in itertools.combinations(found, 2))
    assert all(r.x >= 0 and r.x + r.width <= 1000 and r.y >= 0 and r.y + r.height <= 600 for r in found)


def test_a_label_that_stands_far_away_is_led_to_and_a_near_one_is_not():
    crowd = [Rect(400, 200, 200, 200)]
    (far,) = laid_out([label(500, 300)], crowd, SURFACE)
    assert lead_of(label(500, 300), far) is not None
    (near,) = laid_out([label(500, 300)], [], SURFACE)
    assert lead_of(label(500, 300), near) is None


def test_it_is_led_to_at_the_point_of_its_plate_that_is_nearest():
    assert lead_of(label(500, 300), Rect(540, 340, 40, 20)) == (540, 340)
    assert lead_of(label(500, 300), Rect(480, 350, 40, 20)) == (500, 350)
