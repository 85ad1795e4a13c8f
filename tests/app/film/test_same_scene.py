"""One scene drawn by the window and drawn for a film: both measured from their pixels, one against the other.

Where a thing lies is told by plane geometry: the middle of a straight line's ink, of a ring's, of a disc's.
"""

import numpy as np
import pytest
from PySide6.QtGui import QColor, QImage, QPainter

from analysis.report.canvas import Canvas
from analysis.report.film_drawing import draw_scene
from analysis.report.ink import Ink
from analysis.report.scene import OTHER_COLOUR, TRAIL_COLOUR, Dot, Look, OtherBody, Scene, Stroke, Trail
from analysis.values.command import Kind
from analysis.values.run import Side
from app.film.mapping import ViewMapping
from app.film.painting import ScenePainter
from app.theme.tokens import LIGHT

SIZE = (640, 360)
GREY = 110
APART_PX = 2.0
LEFT, RIGHT, MARK = LIGHT.side(Side.LEFT).fill, LIGHT.side(Side.RIGHT).fill, "#F0E442"


def colour(name):
    shade = QColor(name)
    return np.array([shade.red(), shade.green(), shade.blue()], float)


def by_window(scene, scale):
    size = round(SIZE[0] * scale), round(SIZE[1] * scale)
    image = QImage(*size, QImage.Format.Format_RGB888)
    image.fill(QColor(GREY, GREY, GREY))
    painter = QPainter(image)
    ScenePainter(painter, ViewMapping(scale, 0.0, 0.0), LIGHT, size[0]).paint(scene, None)
    painter.end()
    lines = np.frombuffer(image.constBits(), np.uint8).reshape(size[1], image.bytesPerLine())
    return lines[:, : 3 * size[0]].reshape(size[1], size[0], 3).astype(float)


def by_film(scene, scale):
    picture = np.full((round(SIZE[1] * scale), round(SIZE[0] * scale), 3), GREY, np.uint8)
    draw_scene(Canvas(picture), scene, scale, Ink(left=LEFT, right=RIGHT))
    return picture.astype(float)


def inked(picture, name):
    """How much each pixel is of a colour: 1 for the very colour, 0 a third of the way to another."""
    away = np.abs(picture - colour(name)).sum(axis=2)
    return np.clip(1 - away / 90, 0, None)


def middle(ink, box):
    """The middle of the ink in a box: left, top, right, bottom, px."""
    left, top, right, bottom = (round(side) for side in box)
    part = ink[max(0, top) : bottom, max(0, left) : right]
    assert part.sum() > 1, "nothing is drawn there"
    rows, columns = np.mgrid[: part.shape[0], : part.shape[1]]
    return np.array([(columns * part).sum(), (rows * part).sum()]) / part.sum() + (max(0, left), max(0, top))


def along(start, end, scale, pieces=6):
    """Boxes round pieces of a line."""
    for share in (np.arange(pieces) + 0.5) / pieces:
        u, v = ((a + share * (b - a) + 0.5) * scale for a, b in zip(start, end, strict=True))
        yield u - 7, v - 7, u + 8, v + 8


@pytest.mark.parametrize("scale", [0.7, 1.0, 1.5, 2.0])
@pytest.mark.parametrize("kind", ["line", "limb", "posture"])
def test_a_line_lies_in_the_same_place(qapp, scale, kind):
    start, end = (120.25, 260.5), (180.75, 90.25)
    more = {"line": {}, "limb": {"thin": True}, "posture": {"thin": True, "bold": True}}[kind]
    scene = Scene((Stroke(Kind.LINE, "x", Side.LEFT, start, end, **more),))
    window, film = (inked(draw(scene, scale), LEFT) for draw in (by_window, by_film))
    for box in along(start, end, scale):
        assert np.abs(middle(window, box) - middle(film, box)).max() < APART_PX


@pytest.mark.parametrize("scale", [0.7, 1.0, 2.0])
@pytest.mark.parametrize("look", list(Look))
def test_a_point_lies_in_the_same_place(qapp, scale, look):
    scene = Scene((), (Dot(Kind.POINT, "1:right_toe", Side.RIGHT, 200.25, 150.75, look=look),))
    u, v = 200.75 * scale, 151.25 * scale
    box = (u - 9, v - 9, u + 9, v + 9)
    changed = [np.abs(draw(scene, scale) - GREY).sum(axis=2).clip(0, 60) for draw in (by_window, by_film)]
    assert np.abs(middle(changed[0], box) - middle(changed[1], box)).max() < APART_PX


def test_a_mark_a_trail_and_a_residual_lie_in_the_same_place(qapp):
    scene = Scene(
        (Stroke(Kind.MARK, "m:off", None, (300.0, 250.0), (340.0, 230.0)),),
        (Dot(Kind.MARK, "m", None, 100.5, 250.25),),
        trails=(Trail(((400.0, 100.0), (500.0, 150.0), (600.0, 120.0)), Look.FOLLOWED),),
    )
    window, film = by_window(scene, 1.0), by_film(scene, 1.0)
    for name, box in (
        (MARK, (88, 238, 114, 264)),
        (MARK, (315, 232, 328, 245)),
        (TRAIL_COLOUR, (440, 115, 460, 140)),
        (TRAIL_COLOUR, (540, 125, 560, 150)),
    ):
        apart = middle(inked(window, name), box) - middle(inked(film, name), box)
        assert np.abs(apart).max() < APART_PX


@pytest.mark.parametrize("scale", [0.7, 1.0, 2.0])
def test_another_runs_limb_lies_in_the_same_place(qapp, scale):
    start, end = (120.25, 260.5), (180.75, 90.25)
    limb = Stroke(Kind.POINT, "limb:x", Side.LEFT, start, end, thin=True)
    scene = Scene(other=OtherBody("the other run", (limb,)))
    window, film = (inked(draw(scene, scale), OTHER_COLOUR) for draw in (by_window, by_film))
    for box in along(start, end, scale):
        assert np.abs(middle(window, box) - middle(film, box)).max() < APART_PX


def test_a_picture_that_is_shifted_would_be_noticed(qapp):
    start, end = (120.0, 260.0), (180.0, 90.0)
    one = Scene((Stroke(Kind.LINE, "x", Side.LEFT, start, end),))
    other = Scene((Stroke(Kind.LINE, "x", Side.LEFT, (123.0, 260.0), (183.0, 90.0)),))
    window, film = inked(by_window(one, 1.0), LEFT), inked(by_film(other, 1.0), LEFT)
    apart = [np.abs(middle(window, box) - middle(film, box)).max() for box in along(start, end, 1.0)]
    assert max(apart) > APART_PX
