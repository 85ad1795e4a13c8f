"""Numbers at the picture's edge, as they are painted."""

import numpy as np
import pytest
from PySide6.QtGui import QImage

from analysis.report.scene import Scene
from app.film.view import FrameView

SIZE = (640, 360)
GREY = 120


@pytest.fixture
def view(qtbot):
    made = FrameView()
    qtbot.addWidget(made)
    made.resize(*SIZE)
    made.set_film_size(*SIZE)
    picture = QImage(*SIZE, QImage.Format.Format_RGB32)
    picture.fill(GREY | GREY << 8 | GREY << 16)
    made.set_picture(picture)
    made.show()
    return made


def covered(view, numbers):
    """Rows in which something is painted near the picture's left edge, its frame of focus left out."""
    view.set_scene(Scene(numbers=numbers), None)
    image = view.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    left = pixels[:, 4 * 12 : 4 * 60].reshape(image.height(), -1, 4)[:, :, :3]
    return np.flatnonzero((left != GREY).any(axis=(1, 2))[4:-4]) + 4


def test_many_numbers_leave_the_lower_half_to_the_athlete(view):
    few = covered(view, tuple(f"{n} contact" for n in range(1, 4)))
    many = covered(view, tuple(f"{n} contact" for n in range(1, 40)))
    assert 0 < few.max() < many.max() < 0.55 * SIZE[1]


def test_of_many_numbers_the_newest_are_shown(view):
    scene = tuple(f"{n} contact" for n in range(1, 40))
    covered(view, scene)
    with_all = view.grab().toImage()
    covered(view, scene[-20:])
    assert view.grab().toImage() == with_all
    covered(view, scene[:20])
    assert view.grab().toImage() != with_all
