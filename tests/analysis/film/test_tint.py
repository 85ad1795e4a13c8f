"""The colour of a frame as the film holds it, against ITU-R BT.601's closed formula for 8-bit video."""

from dataclasses import replace

import av
import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from analysis.film.luma import tint_of


@pytest.mark.parametrize("red_green_blue", [(200, 40, 40), (30, 160, 60), (120, 120, 120)])
def test_colour_is_blue_and_red_against_brightness(tmp_path, red_green_blue):
    path = tmp_path / "one.mp4"
    picture = np.full((48, 64, 3), red_green_blue, np.uint8)
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30, options={"crf": "1"})
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        for _ in range(8):
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24")))
        container.mux(stream.encode())
    film = open_film(path)
    with FrameReader(film, 1_000_000) as reader:
        tint = tint_of(film, reader.decoded(3))
    red, green, blue = (c / 255 for c in red_green_blue)
    luma = 0.299 * red + 0.587 * green + 0.114 * blue
    assert tint.shape == (24, 32, 2)
    # rounding at each of three conversions, and the encoder's
    assert np.median(tint[..., 0]) == pytest.approx(128 + 112 * (blue - luma) / 0.886, abs=3)
    assert np.median(tint[..., 1]) == pytest.approx(128 + 112 * (red - luma) / 0.701, abs=3)


@pytest.mark.parametrize("turn", [0, 90])
def test_some_rows_are_those_of_the_whole(tmp_path, turn):
    path = tmp_path / "one.mp4"
    picture = np.random.default_rng(2).integers(0, 255, (48, 64, 3)).astype(np.uint8)
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30)
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        for _ in range(8):
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24")))
        container.mux(stream.encode())
    film = replace(open_film(path), rotation_deg=turn)
    with FrameReader(film, 1_000_000) as reader:
        frame = reader.decoded(3)
        whole = tint_of(film, frame)
        assert (tint_of(film, frame, slice(5, 17)) == whole[5:17]).all()
    assert whole.shape == ((24, 32, 2) if turn == 0 else (32, 24, 2))
