"""Large films and long ones: the picture says which it is, and memory stays within what was given."""

import random
from fractions import Fraction

import av
import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from tests.analysis.film.making import GOP, Kind, make, straight
from tests.helpers.programs import need
from tests.truth.ffprobe_tables import ask

QUICK = {"g": "4", "bf": "2", "preset": "ultrafast", "threads": "1"}
LONG = 20 * 60 * 30
SIDE = 12


@pytest.mark.parametrize(
    "kind",
    [
        Kind(options=QUICK, size=(3840, 2160), rate=60, frames=6),
        Kind(options=GOP, size=(1280, 720), rate=240, frames=30),
    ],
    ids=["4K at 60", "720p at 240"],
)
def test_large(tmp_path, kind):
    path = make(tmp_path / "large.mp4", kind)
    times, pictures = straight(path)
    film = open_film(path)
    assert film.shown_size == kind.size
    assert film.container_rate_hz == pytest.approx(kind.rate)
    assert [entry.pts for entry in film.index] == times == [pts for pts, _ in ask(need("ffprobe"), path)[1]]
    frame_bytes = kind.size[0] * kind.size[1] * 3 // 2
    jumps = random.Random(3)
    order = [*reversed(range(film.frames)), *range(film.frames)]
    order += [jumps.randrange(film.frames) for _ in range(10)]
    with FrameReader(film, 2 * frame_bytes) as reader:
        for number in order:
            assert np.array_equal(reader.picture(number), pictures[number]), number
            assert reader.cached_bytes <= 2 * frame_bytes


@pytest.fixture(scope="module")
def long(tmp_path_factory):
    """Twenty minutes at 30 a second; each picture holds its number in sixteen squares."""
    path = tmp_path_factory.mktemp("long") / "long.mp4"
    planes = np.full((72, 64), 128, np.uint8)
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30, options={**QUICK, "g": "250", "crf": "30"})
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        stream.codec_context.time_base = Fraction(1, 90_000)
        for number in range(LONG):
            squares = 255 * (number >> np.arange(16) & 1).astype(np.uint8).reshape(4, 4)
            planes[:48] = squares.repeat(SIDE, axis=0).repeat(16, axis=1)
            frame = av.VideoFrame.from_ndarray(planes, format="yuv420p")
            frame.pts, frame.time_base = number * 3000, Fraction(1, 90_000)
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return path


def number_in(picture):
    """The number that a picture of the long film holds."""
    squares = picture[SIDE // 2 :: SIDE, 8::16, 1] > 127
    return int((squares.ravel() * (1 << np.arange(16))).sum())


def test_twenty_minutes(long):
    film = open_film(long)
    assert film.frames == LONG
    assert film.facts.times.seconds[-1] == pytest.approx((LONG - 1) / 30)
    chance = random.Random(1)
    wanted = [0, LONG - 1, *chance.sample(range(LONG), 120)]
    with FrameReader(film, 2_000_000) as reader:
        for number in wanted:
            for near in (number, max(0, number - 1)):
                assert number_in(reader.picture(near)) == near
            assert reader.cached_bytes <= 2_000_000
