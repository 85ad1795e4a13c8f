"""What is drawn of a posture strip: the right part of the picture, and lines where they lie."""

import io
from dataclasses import replace

import cv2
import numpy as np
import pytest
from PIL import Image

from analysis.reading.lock import EventKind, Moment
from analysis.report.ink import Ink
from analysis.report.posture_strip import Box, PostureStrip, StripFrame
from analysis.report.scene import Dot, Look, Scene, Stroke
from analysis.report.strip_drawing import HEIGHT_PX, frame_picture, strip_picture
from analysis.values.command import Kind
from analysis.values.estimate import Estimate
from analysis.values.film import FrameNumber
from analysis.values.posture import Moment as When
from analysis.values.posture import PostureReading
from analysis.values.run import Side

SHOWN = StripFrame(
    FrameNumber(7), Moment(EventKind.TOUCHDOWN, 2), Side.RIGHT, Box(99.5, 49.5, 60.0, 120.0), Scene()
)
INK = Ink(left="#FF0000", right="#0000FF", beyond="#00FF00")


def jpeg(picture):
    """A grey picture as it comes from a film."""
    return cv2.imencode(".jpg", np.dstack([picture] * 3), [cv2.IMWRITE_JPEG_QUALITY, 95])[1].tobytes()


@pytest.fixture
def film():
    """640 x 360, grey, with a white block from (120, 80) to (139, 99)."""
    picture = np.full((360, 640), 90, np.uint8)
    picture[80:100, 120:140] = 250
    return jpeg(picture)


def drawn(film, shown, height):
    return np.asarray(frame_picture(film, shown, height, INK)).astype(int)


@pytest.mark.parametrize("height", [30, 60, 120, 480])
def test_a_block_of_the_picture_lies_where_the_box_says_at_any_size(film, height):
    picture = drawn(film, SHOWN, height)
    assert picture.shape == (height, height // 2, 3)
    scale = height / 120
    rows, columns = np.nonzero(picture.min(axis=2) > 170)
    # half a pixel of the film and one of the drawing for the edges
    room = 0.5 * scale + 1.0
    for found, low, high in ((rows, 30, 50), (columns, 20, 40)):
        assert found.min() == pytest.approx(low * scale, abs=room)
        assert found.max() + 1 == pytest.approx(high * scale, abs=room)


def test_beyond_the_picture_there_is_a_colour_of_its_own(film):
    picture = drawn(film, replace(SHOWN, box=Box(-30.5, -0.5, 60.0, 120.0)), 120)
    assert (picture[:, :29] == (0, 255, 0)).all()
    assert (abs(picture[:, 31:] - 90) < 12).all()


def test_lines_and_points_are_drawn_where_they_lie_in_their_sides_colour(film):
    stroke = Stroke(Kind.LINE, "shin", Side.LEFT, (110.0, 150.0), (110.0, 110.0))
    dot = Dot(Kind.POINT, "7:right_toe", Side.RIGHT, 150.0, 160.0)
    picture = drawn(film, replace(SHOWN, scene=Scene((stroke,), (dot,))), 480)
    red = (picture[..., 0] > 200) & (picture[..., 1:].max(axis=2) < 60)
    blue = (picture[..., 2] > 200) & (picture[..., :2].max(axis=2) < 60)
    rows, columns = np.nonzero(red)
    assert columns.mean() == pytest.approx((110 - 99.5) * 4 - 0.5, abs=1.0)
    assert (rows.min(), rows.max()) == pytest.approx(((110 - 49.5) * 4, (150 - 49.5) * 4), abs=4)
    rows, columns = np.nonzero(blue)
    assert (rows.mean(), columns.mean()) == pytest.approx((442 - 0.5, 202 - 0.5), abs=1.0)


def test_a_guess_is_fainter(film):
    def inked(look):
        dot = Dot(Kind.POINT, "7:left_toe", Side.LEFT, 150.0, 160.0, look=look)
        shown = drawn(film, replace(SHOWN, scene=Scene((), (dot,))), 480)
        return np.abs(shown - drawn(film, SHOWN, 480)).sum()

    assert inked(Look.GUESSED) < 0.7 * inked(Look.PLACED)


def test_the_strip_as_a_file_holds_all_frames_in_a_row_at_one_scale(film):
    angle = PostureReading("trunk_deg", 2, When.TOUCHDOWN, None, Estimate(48.0, 1.0, 46.0, 50.0))
    frames = (SHOWN, replace(SHOWN, frame=FrameNumber(9), angles=(angle,)))
    strip = PostureStrip(frames, 1.05, 2.1)
    png = strip_picture(strip, {7: film, 9: film}, "first run")
    page = np.asarray(Image.open(io.BytesIO(png)).convert("L")).astype(int)
    block = page[: page.shape[0] // 2] > 170
    grey = np.abs(page - 90) < 12
    columns = np.flatnonzero(grey.sum(axis=0) > HEIGHT_PX * 0.7)
    starts = columns[np.flatnonzero(np.diff(columns, prepend=-99) > 3)]
    assert len(starts) >= 2
    assert block.any()
    # the bar under the strip is as long as half a metre is in every frame
    low = page[-80:] < 80
    lengths = [max(map(len, "".join("#" if x else " " for x in row).split()), default=0) for row in low]
    assert max(lengths) == pytest.approx(HEIGHT_PX * 0.5 / 2.1, abs=3)


def test_an_empty_strip_is_no_picture():
    with pytest.raises(ValueError, match="Tag"):
        strip_picture(PostureStrip(reason="Tag first."), {}, "run")
