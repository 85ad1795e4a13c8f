"""What a reader held is given back when it is closed, without waiting for the cycle collector."""

import gc
import weakref

import pytest

from analysis.film import open_film
from analysis.film.quick_reader import QuickReader
from analysis.film.reader import FrameReader


@pytest.mark.parametrize("made", [FrameReader, QuickReader])
def test_a_closed_reader_is_gone_at_once(film_of_kind, made):
    film = open_film(film_of_kind("h264 with B-frames"))
    gc.collect()
    gc.disable()
    try:
        reader = made(film)
        if isinstance(reader, QuickReader):
            reader.cover(0, film.frames - 1)
            reader.make_small()
        reader.picture(film.frames - 1)
        gone = weakref.ref(reader)
        reader.close()
        del reader
        assert gone() is None
    finally:
        gc.enable()
