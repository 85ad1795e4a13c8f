"""Films put together from parts of different colours, of which one does not say its own: a decoder then takes
those that it met last. Every frame has those of a straight decode, whichever way it was reached.
"""

import random

import av
import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from analysis.film.quick_reader import QuickReader
from tests.analysis.film.making import GOP, Kind, joined, make, straight

USUAL, FULL = "yuv420p", "yuvj420p"
"""The second one says that it uses all levels, the first says nothing (libx264)."""


@pytest.fixture(scope="module", params=[(USUAL, FULL), (FULL, USUAL)], ids=["full behind", "full before"])
def mixed(request, tmp_path_factory):
    """Two films one behind the other."""
    folder = tmp_path_factory.mktemp("colours")
    parts = [
        make(folder / f"{n}.ts", Kind(suffix=".ts", options=GOP, pix_fmt=pix_fmt, frames=48))
        for n, pix_fmt in enumerate(request.param)
    ]
    return joined(folder / "mixed.mkv", parts)


@pytest.fixture(scope="module")
def pictures(mixed):
    return straight(mixed)[1]


def ways():
    chance = random.Random(4)
    return {
        "forwards": range(96),
        "backwards": range(95, -1, -1),
        "jumps": [chance.randrange(96) for _ in range(150)],
    }


def test_a_decoder_says_that_the_parts_differ(mixed):
    with av.open(str(mixed)) as container:
        said = [frame.color_range for frame in container.decode(video=0)]
    assert len(set(said)) == 2 or said[0] == 2


@pytest.mark.parametrize("threads", [1, 2])
@pytest.mark.parametrize("way", ways())
def test_every_frame_has_the_colours_of_a_straight_decode(mixed, pictures, way, threads):
    with FrameReader(open_film(mixed), 60_000, threads) as reader:
        assert [n for n in ways()[way] if not np.array_equal(reader.picture(n), pictures[n])] == []


def test_the_same_of_what_is_made_ready_ahead(mixed, pictures):
    reader = QuickReader(open_film(mixed), threads=2)
    for begin in (95, 40, 60, 2):
        reader.picture(begin)
        for ahead in (30, -30):
            while reader.prepare(begin, ahead):
                pass
        for number in range(96):
            hand = reader.at_hand(number)
            assert hand is None or np.array_equal(hand.picture, pictures[number]), (begin, number)
    reader.close()
