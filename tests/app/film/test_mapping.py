"""Picture pixels and widget points: there and back, at any zoom."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.film.closeup import MARGIN, closeup_rect
from app.film.mapping import LARGEST, SMALLEST, ViewMapping, fitted

places = st.floats(-5000, 5000)
offsets = st.floats(-4000, 4000)
mirrors = st.sampled_from((0.0, 320.0, 1280.0))
mappings = st.builds(ViewMapping, st.floats(SMALLEST, LARGEST), offsets, offsets, mirrors)
sizes = st.tuples(st.integers(1, 8000), st.integers(1, 8000))
widgets = st.tuples(st.floats(80, 5000), st.floats(60, 5000))


@given(mappings, places, places)
def test_there_and_back(mapping, u, v):
    assert mapping.to_picture(*mapping.to_widget(u, v)) == pytest.approx((u, v), abs=1e-6)
    assert mapping.to_widget(*mapping.to_picture(u, v)) == pytest.approx((u, v), abs=1e-6)


@given(mappings, places, places, st.floats(0.01, 100))
def test_the_place_under_the_pointer_stays_when_zooming(mapping, x, y, factor):
    before = mapping.to_picture(x, y)
    closer = mapping.zoomed(factor, x, y)
    assert closer.to_picture(x, y) == pytest.approx(before, abs=1e-6)
    assert SMALLEST <= closer.scale <= LARGEST


@given(mappings, places, places, places, places)
def test_a_shift_moves_every_place_alike(mapping, u, v, dx, dy):
    x, y = mapping.to_widget(u, v)
    assert mapping.moved(dx, dy).to_widget(u, v) == pytest.approx((x + dx, y + dy), abs=1e-6)


@given(mappings, st.floats(SMALLEST, LARGEST), places, places, places, places)
def test_a_picture_place_is_brought_to_a_widget_place(mapping, scale, u, v, x, y):
    brought = mapping.scaled_so(scale, (u, v), (x, y))
    assert brought.to_widget(u, v) == pytest.approx((x, y), abs=1e-6)
    assert (brought.scale, brought.mirrored) == (scale, mapping.mirrored)


@given(sizes, widgets)
def test_a_mirrored_picture_has_its_left_edge_on_the_right(picture, widget):
    plain, mirrored = fitted(picture, widget), fitted(picture, widget, mirrored=True)
    assert mirrored.to_widget(-0.5, -0.5) == pytest.approx(plain.to_widget(picture[0] - 0.5, -0.5), abs=1e-6)
    assert mirrored.to_widget(picture[0] - 0.5, 0) == pytest.approx(plain.to_widget(-0.5, 0), abs=1e-6)


@given(sizes, widgets)
def test_the_whole_picture_fits_and_stands_in_the_middle(picture, widget):
    mapping = fitted(picture, widget)
    left, top = mapping.to_widget(-0.5, -0.5)
    right, bottom = mapping.to_widget(picture[0] - 0.5, picture[1] - 0.5)
    assert left + right == pytest.approx(widget[0], abs=1e-6)
    assert top + bottom == pytest.approx(widget[1], abs=1e-6)
    if SMALLEST < mapping.scale < LARGEST:
        assert max((right - left) / widget[0], (bottom - top) / widget[1]) == pytest.approx(1.0)


def test_the_corner_of_the_first_pixel_is_half_a_pixel_before_its_centre():
    assert ViewMapping(2.0, 10.0, 20.0).to_widget(-0.5, -0.5) == (10.0, 20.0)
    assert ViewMapping(2.0, 10.0, 20.0).to_widget(0, 0) == (11.0, 21.0)


@given(st.floats(320, 4000), st.floats(180, 3000), st.floats(0, 1), st.floats(0, 1))
def test_the_closeup_lies_within_the_view_and_never_under_the_pointer(width, height, across, down):
    x, y = across * width, down * height
    rect = closeup_rect(width, height, x)
    assert rect.left() >= MARGIN - 1e-9
    assert rect.right() <= width - MARGIN + 1e-9
    assert rect.bottom() <= height
    assert rect.width() == rect.height() > 50
    assert not rect.contains(x, y)
