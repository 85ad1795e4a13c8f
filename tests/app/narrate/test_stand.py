"""What is on show: which film leads, and which part of a picture fills the room."""

import pytest

from analysis.values.time_map import TimeMap
from app.film.mapping import fitted
from app.narrate.stand import Stand, framed

BOTH = Stand(
    ("a", "b"), 10, 25, (0.0, 0.0, 9.0, 9.0), None, beside_s=TimeMap(((0.0, 1.0), (2.0, 2.0), (3.0, 5.0)))
)


def test_the_other_film_leads():
    turned = BOTH.led_by(("b", "a"))
    assert (turned.run_ids, turned.frame, turned.beside) == (("b", "a"), 25, 10)
    assert (turned.zoom, turned.beside_zoom) == (None, BOTH.zoom)
    for first_s in (0.0, 0.7, 2.5, 4.0):
        assert turned.beside_s.film_s(BOTH.beside_s.film_s(first_s)) == pytest.approx(first_s)
    assert turned.led_by(("a", "b")) == BOTH
    assert BOTH.led_by(("a", "b")) is BOTH


@pytest.mark.parametrize("room", [(1600.0, 900.0), (400.0, 900.0)])
def test_a_part_of_the_picture_is_seen_whole_and_in_the_middle(room):
    part = (300.0, 150.0, 200.0, 100.0)
    mapping = framed(part, room, fitted((1280, 720), room))
    left, top = mapping.to_widget(300.0, 150.0)
    right, bottom = mapping.to_widget(500.0, 250.0)
    assert left >= -1e-9
    assert top >= -1e-9
    assert (left + right) / 2 == pytest.approx(room[0] / 2)
    assert (top + bottom) / 2 == pytest.approx(room[1] / 2)
    assert right - left == pytest.approx(room[0]) or bottom - top == pytest.approx(room[1])
