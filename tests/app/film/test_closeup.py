"""The close-up shows the same place of the film whatever the size of the picture that is on show."""

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from app.film.closeup import paint_closeup
from app.film.mapping import ViewMapping
from app.film.reader_thread import image_of
from app.theme.apply import current_theme

FILM = (400, 200)
PLACE = (122, 84)


def picture(scale):
    """Black, with a white square of 8 x 8 film pixels around the place, at a share of the film's size."""
    height, width = FILM[1] // scale, FILM[0] // scale
    shown = np.zeros((height, width, 4), np.uint8)
    left, top = (PLACE[0] - 2) // scale, (PLACE[1] - 4) // scale
    shown[top : top + 8 // scale, left : left + 8 // scale] = 255
    return image_of(shown)


def painted(image, mapping):
    surface = QImage(100, 100, QImage.Format.Format_RGB32)
    painter = QPainter(surface)
    pointer = mapping.to_widget(PLACE[0] + 1.5, PLACE[1] - 0.5)  # the middle of the square
    paint_closeup(painter, image, FILM, mapping, QRectF(0, 0, 100, 100), pointer, current_theme())
    painter.end()
    return np.frombuffer(surface.constBits(), np.uint8).reshape(100, 100, 4)[..., 0]


@pytest.mark.parametrize("mirror", [0.0, float(FILM[0])])
@pytest.mark.parametrize("scale", [1, 2, 4])
def test_the_place_under_the_pointer_is_in_the_middle_at_one_size(qapp, scale, mirror):
    mapping = ViewMapping(1.0, 0.0, 0.0, mirror)
    seen = painted(picture(scale), mapping)
    # Five times enlarged the square is 40 points wide, from 30 to 70; its edges blur by half a pixel shown.
    # The lines looked along pass beside the middle, where the cross hair lies.
    blur = 3 * scale
    for line in (seen[40], seen[:, 40]):
        assert line[30 + blur : 45].min() == line[55 : 70 - blur].min() == 255
        assert line[8 : 30 - blur].max() == line[70 + blur : 92].max() == 0
