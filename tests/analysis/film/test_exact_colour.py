"""Colours against the equations of ITU-R BT.709-6 and BT.601-7, narrow range, item 3.2 and 2.5 there."""

from fractions import Fraction

import av
import numpy as np
import pytest

from analysis.film import FrameReader, open_film

RED_BLUE = {709: (0.2126, 0.0722), 601: (0.299, 0.114)}
TOUCHES = [(200, 40, 60), (40, 180, 60), (50, 60, 210), (128, 128, 128), (230, 200, 40)]
LEVELS = 3  # of 255: rounding in both directions and the coder


def coded(colour, standard):
    """Y, Cb and Cr of 8 bits for red, green and blue of 0 to 255."""
    red, green, blue = (part / 255 for part in colour)
    k_red, k_blue = RED_BLUE[standard]
    luma = k_red * red + (1 - k_red - k_blue) * green + k_blue * blue
    cb, cr = (blue - luma) / (2 * (1 - k_blue)), (red - luma) / (2 * (1 - k_red))
    return round(16 + 219 * luma), round(128 + 224 * cb), round(128 + 224 * cr)


def film_of(path, size, standard, tag=None):
    """One frame for each colour, coded by a standard, which the file names where ``tag`` does."""
    width, height = size
    with av.open(str(path), "w") as container:
        options = {"crf": "1", "preset": "ultrafast", "threads": "1"}
        if tag:
            options["x264-params"] = f"colormatrix={tag}"
        stream = container.add_stream("libx264", rate=30, options=options)
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        stream.codec_context.time_base = Fraction(1, 30)
        for number, colour in enumerate(TOUCHES):
            luma, cb, cr = coded(colour, standard)
            planes = np.empty((height * 3 // 2, width), np.uint8)
            planes[:height] = luma
            planes[height : height * 5 // 4] = cb
            planes[height * 5 // 4 :] = cr
            frame = av.VideoFrame.from_ndarray(planes, format="yuv420p")
            frame.pts, frame.time_base = number, Fraction(1, 30)
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return open_film(path)


def furthest(film):
    """The most by which a colour that is shown differs from the one that was coded, in levels."""
    with FrameReader(film) as reader:
        shown = [reader.picture(n)[10, 10, 2::-1].astype(int) for n in range(film.frames)]
    return max(np.abs(np.array(a) - b).max() for a, b in zip(TOUCHES, shown, strict=True))


@pytest.mark.parametrize(
    ("size", "standard", "tag"),
    [
        ((1280, 720), 709, None),
        ((1920, 1080), 709, None),
        ((1280, 720), 709, "bt709"),
        ((1280, 720), 601, "smpte170m"),
        ((640, 480), 601, None),
        ((640, 480), 709, "bt709"),
    ],
)
def test_colours_are_those_that_were_filmed(tmp_path, size, standard, tag):
    assert furthest(film_of(tmp_path / "film.mp4", size, standard, tag)) <= LEVELS


def test_the_two_standards_differ_enough_to_tell(tmp_path):
    assert furthest(film_of(tmp_path / "film.mp4", (1280, 720), 601)) > 4 * LEVELS
