"""Every column of a picture is the film's, whatever its width: held against colours reckoned from the decoded
planes by the equations of ITU-R BT.601 and BT.709, without the converter.
"""

from fractions import Fraction
from types import SimpleNamespace

import av
import numpy as np
import pytest
from av.video.reformatter import ColorRange, Colorspace

from analysis.film.picture import PictureMaker

WEIGHTS = {Colorspace.ITU601: (0.299, 0.114), Colorspace.ITU709: (0.2126, 0.0722)}
HEIGHT = 16


def frame_of(width, pix_fmt, colours, *, soft=False):
    """Light by chance (``soft``: slowly changing), colours that change slowly, so that it does not matter
    between which they lie.
    """
    chance = np.random.default_rng(width)
    frame = av.VideoFrame(width, HEIGHT, pix_fmt)
    frame.colorspace, frame.color_range = colours, ColorRange.MPEG
    planes = []
    for number, plane in enumerate(frame.planes):
        across = np.linspace(100, 150, plane.width)[None, :]
        down = np.linspace(0, 3, plane.height)[:, None]
        held = across + down
        if not number and not soft:
            held = chance.integers(40, 200, (plane.height, plane.width))
        stored = np.full((plane.height, plane.line_size), 255, np.uint8)  # beyond it: not shown
        stored[:, : plane.width] = held
        plane.update(stored.tobytes())
        planes.append(stored[:, : plane.width].astype(float))
    return frame, planes


def reckoned(planes, colours):
    """Blue, green, red of a frame by the equations of the standards."""
    red, blue = WEIGHTS[colours]
    light = planes[0]
    tall = light.shape[0] // planes[1].shape[0]
    cb, cr = (np.repeat(np.repeat(one, 2, 1), tall, 0)[:, : light.shape[1]] - 128 for one in planes[1:])
    light, cb, cr = (light - 16) * 255 / 219, cb * 255 / 224, cr * 255 / 224
    r, b = light + 2 * (1 - red) * cr, light + 2 * (1 - blue) * cb
    g = (light - red * r - blue * b) / (1 - red - blue)
    return np.stack([b, g, r], axis=2).clip(0, 255)


def maker(width):
    return PictureMaker(
        SimpleNamespace(
            stored_width=width,
            stored_height=HEIGHT,
            pixel_aspect=Fraction(1),
            rotation_deg=0,
            mirrored=False,
            shown_size=(width, HEIGHT),
        )
    )


def fill_memory(width):
    """What chance would have: memory of pictures that were let go, all white."""
    for _ in range(8):
        np.full((HEIGHT + 1) * (width + 40) * 4, 255, np.uint8)


@pytest.mark.parametrize("colours", WEIGHTS)
@pytest.mark.parametrize("pix_fmt", ["yuv420p", "yuv422p"])
@pytest.mark.parametrize("width", [*range(160, 177), 404, 884, 1170, 1284])
def test_the_last_columns_are_the_films(width, pix_fmt, colours):
    frame, planes = frame_of(width, pix_fmt, colours)
    fill_memory(width)
    picture = maker(width).full(frame)
    assert np.abs(picture[:, :, :3] - reckoned(planes, colours)).max() < 6
    assert (picture[:, :, 3] == 255).all()


@pytest.mark.parametrize("width", [*range(160, 177), 1668])
def test_so_are_those_of_what_is_kept_at_the_size_of_a_screen(width):
    frame, planes = frame_of(width, "yuv420p", Colorspace.ITU709, soft=True)
    made = maker(width)
    kept = made.to_keep(frame, width)
    fill_memory(width)
    picture = made.of_kept(kept)
    assert np.abs(picture[:, :, :3] - reckoned(planes, Colorspace.ITU709)).max() < 8
