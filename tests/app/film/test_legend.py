"""Where the legend stands: where the athlete is not."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QFont, QFontMetricsF

from analysis.report.scene import Look as Looks
from analysis.report.scene import OtherBody, Scene, Stroke, Trail
from analysis.values.command import Kind
from app.film.legend import body_places, legend_beside
from app.film.mapping import ViewMapping

WIDTH, HEIGHT, TALLEST = 656.0, 362.0, 54.0


def scene(*limbs, other=None):
    """Limbs from place to place, and the path of the centre of mass, which the legend explains too."""
    strokes = tuple(Stroke(Kind.POINT, str(n), None, *ends, thin=True) for n, ends in enumerate(limbs))
    return Scene(strokes=strokes, trails=(Trail(((0, 0), (1, 0)), Looks.FOLLOWED),), other=other)


def legend(one):
    return legend_beside((one,), ViewMapping(), QFontMetricsF(QFont()), WIDTH, HEIGHT, TALLEST)


HIGH = ((300.0, 40.0), (310.0, 250.0))


def test_along_the_lower_edge_where_the_athlete_is_above(qapp):
    box = legend(scene(HIGH)).box
    assert box.bottom() == pytest.approx(HEIGHT - 8)
    assert box.width() > WIDTH / 2


@pytest.mark.parametrize(
    "limbs",
    [
        [((350.0, 240.0), (405.0, 338.0))],  # a foot on the ground in the middle
        [((350.0, 240.0), (405.0, 338.0)), ((60.0, 300.0), (90.0, 340.0))],  # and one on the left
        [((60.0, 300.0), (600.0, 340.0))],  # all along the lower edge
    ],
)
def test_elsewhere_where_a_limb_is_below(qapp, limbs):
    one = scene(*limbs)
    found = legend(one)
    assert not found.box.isEmpty()
    assert 0 <= found.box.left() < found.box.right() <= WIDTH
    assert 0 <= found.box.top() < found.box.bottom() <= HEIGHT
    assert not [place for place in body_places((one,), ViewMapping()) if found.box.contains(*place)]


def test_nowhere_where_limbs_are_in_every_corner(qapp):
    corners = (
        ((8.0, 350.0), (120.0, 340.0)),
        ((520.0, 340.0), (640.0, 350.0)),
        ((520.0, 20.0), (640.0, 30.0)),
    )
    assert legend(scene(*corners)).box.isEmpty()


def test_what_is_said_of_another_runs_body_always_stands(qapp):
    limbs = (((60.0, 300.0), (600.0, 340.0)),)
    found = legend(scene(*limbs, other=OtherBody("the other run, at touchdown 2")))
    assert not found.box.isEmpty()
