"""Two views at one scale: the same metre, by marks of known place, stands in line however one is moved."""

from types import SimpleNamespace

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtWidgets import QWidget

from app.compare.sides import TwoSides
from app.compare.twin_views import TwinViews
from app.film.view import FrameView
from tests.app.compare.looks import SIZE, a_look

UPPER = ((0.0, 20.0), (5.0, 160.0), (10.0, 300.0))
LOWER = ((0.0, 60.0), (5.0, 130.0), (10.0, 200.0))
"""Metres and columns: 28 and 14 pixels a metre."""


class Side:
    """Of a side the view alone, with what it shows."""

    def __init__(self, view):
        self.pane = SimpleNamespace(view=view)
        self.look, self.frame = None, 0


@pytest.fixture
def twins(qtbot):
    owner = QWidget()
    qtbot.addWidget(owner)
    views = [FrameView(owner) for _ in range(2)]
    for view in views:
        view.resize(640, 360)
        view.set_film_size(*SIZE)
    sides = TwoSides(*map(Side, views))
    yield TwinViews(sides, owner), *views
    owner.close()


def columns(view, marks):
    return [view.mapping.to_widget(u, 150.0)[0] for _, u in marks]


def in_line(upper, lower):
    return columns(upper, UPPER) == pytest.approx(columns(lower, LOWER), abs=0.5)


def show(twins, upper, lower):
    for side, (look, frame) in zip(twins._sides, (upper, lower), strict=True):
        side.look, side.frame = look, frame
    twins.show()


@pytest.fixture
def linked(twins):
    show(twins[0], (a_look(marks=UPPER), 20), (a_look(marks=LOWER), 20))
    twins[0].want(True)
    return twins


def test_at_first_each_picture_is_as_large_as_it_can_be(twins):
    linked, upper, lower = twins
    show(linked, (a_look(marks=UPPER), 20), (a_look(marks=LOWER), 20))
    assert not linked.linked
    assert upper.mapping == lower.mapping
    assert upper.mapping.scale == pytest.approx(2.0)


def test_at_one_scale_the_same_metre_stands_in_line(linked):
    twins, upper, lower = linked
    assert twins.linked
    assert in_line(upper, lower)
    assert lower.mapping.scale == pytest.approx(2 * upper.mapping.scale, rel=0.01)


@pytest.mark.parametrize("moved", [0, 1])
def test_zooming_and_shifting_one_moves_the_other(linked, moved):
    _, upper, lower = linked
    view = (upper, lower)[moved]
    before = columns(view, UPPER if moved == 0 else LOWER)
    view.zoom(1.7, QPointF(200, 100))
    assert in_line(upper, lower)
    view.pan(-37, 12)
    assert in_line(upper, lower)
    assert columns(view, UPPER if moved == 0 else LOWER) != pytest.approx(before, abs=5)
    view.fit()
    assert upper.is_fitted
    assert lower.is_fitted
    assert in_line(upper, lower)


def test_without_it_each_goes_its_own_way(linked):
    twins, upper, lower = linked
    twins.want(False)
    assert upper.mapping.scale == lower.mapping.scale == pytest.approx(2.0)
    upper.zoom(2.0)
    assert lower.mapping.scale == pytest.approx(2.0)


def test_swapped_they_stay_in_line_and_the_other_one_leads(linked):
    twins, upper, lower = linked
    twins._sides.swap()
    twins.turned()
    assert in_line(upper, lower)
    assert lower.mapping.scale < 2 * upper.mapping.scale * 1.01
    lower.zoom(1.5)
    assert in_line(upper, lower)


@pytest.mark.parametrize("marks", [(), ((0.0, 20.0),), ((20.0, 20.0), (30.0, 300.0))])
def test_without_a_stretch_in_common_nothing_is_linked(linked, marks):
    """No marks, one mark, or marks of quite another stretch of the lane."""
    twins, upper, lower = linked
    show(twins, (a_look(marks=UPPER), 20), (a_look(marks=marks), 20))
    assert not twins.linked
    assert upper.mapping.scale == lower.mapping.scale == pytest.approx(2.0)
    show(twins, (a_look(marks=UPPER), 20), (None, 0))
    assert not twins.linked


def test_a_mark_that_moves_brings_the_pictures_in_line_anew(linked):
    twins, upper, lower = linked
    moved = tuple((x, u + 10) for x, u in LOWER)
    show(twins, (a_look(marks=UPPER), 20), (a_look(marks=moved), 20))
    assert columns(upper, UPPER) == pytest.approx(columns(lower, moved), abs=0.5)


def test_a_mirrored_picture_keeps_its_scale(linked):
    _, upper, lower = linked
    lower.set_mirrored(True)
    length = [abs(columns(v, m)[2] - columns(v, m)[0]) for v, m in ((upper, UPPER), (lower, LOWER))]
    assert length[0] == pytest.approx(length[1], rel=0.01)
