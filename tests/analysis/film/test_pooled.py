"""Pictures are made in memory of pictures that were let go; what they hold is held elsewhere (test_exact)."""

from collections import deque

import numpy as np

from analysis.film import FrameReader, open_film
from analysis.film.picture import PictureMaker
from tests.analysis.film.making import Kind, make


def test_memory_is_used_again_though_other_things_take_memory_between(tmp_path):
    film = open_film(make(tmp_path / "film.mp4", Kind(frames=30, size=(640, 480))))
    maker, shown, taken, places = PictureMaker(film), deque(maxlen=2), [], set()
    with FrameReader(film) as reader:
        for number in range(film.frames):
            shown.append(maker.full(reader.decoded(number)))
            places.add(shown[-1].ctypes.data)
            taken += [np.ones(shown[-1].nbytes // 3, np.uint8) for _ in range(3)]  # as decoders do
    assert len(places) == shown.maxlen + 1  # those on show and the one in making


def test_a_film_whose_frames_change_their_colours_is_converted_anew(tmp_path):
    film = open_film(make(tmp_path / "film.mp4", Kind(frames=4, size=(640, 480))))
    maker = PictureMaker(film)
    with FrameReader(film) as reader:
        frame = reader.decoded(1)
        as_it_is = maker.full(frame).copy()
        frame.colorspace = 1  # BT.709 instead of BT.601: other greens
        other = maker.full(frame).copy()
        frame.colorspace = 5
        again = maker.full(frame)
    assert np.array_equal(as_it_is, again)
    assert np.abs(as_it_is.astype(int) - other).max() > 3
