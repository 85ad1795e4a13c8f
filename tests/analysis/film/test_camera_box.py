"""What phones write about slow motion into a box of their own, byte by byte."""

import random
import struct

import pytest

from analysis.film import open_film
from analysis.film.camera_box import CameraBox, camera_box, in_user_data
from analysis.values.film import RateSource
from tests.analysis.film.making import GOP, Kind, make
from tests.truth.ffprobe_tables import PHONE


def box(kind, content=b""):
    return struct.pack(">I", len(content) + 8) + kind + content


def smta(rate_hz=None, mode=0):
    parts = box(b"saut", bytes([0, 0, 0, 0, 0, mode, 1, 4]))
    if rate_hz is not None:
        parts += box(b"srfr", struct.pack(">I", round(rate_hz * 65536)))
    return box(b"smta", bytes(4) + parts)


def with_box(path, content):
    """The film with the box put at the end of its last part, the table of frames."""
    data = path.read_bytes()
    begin = data.index(b"moov") - 4
    assert begin + int.from_bytes(data[begin : begin + 4], "big") == len(data)
    added = box(b"udta", content)
    moov = struct.pack(">I", len(data) - begin + len(added)) + data[begin + 4 :] + added
    path.write_bytes(data[:begin] + moov)
    return path


@pytest.fixture
def film_with(tmp_path):
    def made(content, rate=30):
        return open_film(with_box(make(tmp_path / "f.mp4", Kind(options=GOP, rate=rate)), content))

    return made


def test_as_a_phone_wrote_it():
    """Plays at 30; the camera's other tag says 240, too."""
    assert camera_box(str(PHONE / "sample_sef_slow_motion.mp4")) == CameraBox(240.0, slow=True)


def test_no_box_nothing_told(film_of_kind):
    for name in ("h264 with B-frames", "mkv", "avi", "mpeg-ts"):
        assert camera_box(str(film_of_kind(name))) is None


def test_slow_motion_by_the_box(film_with):
    film = film_with(smta(240, mode=12))
    assert (film.capture_rate_hz, film.rate_source) == (240, RateSource.METADATA)
    assert any("filmed at 240" in note for note in film.notes)


def test_an_ordinary_film_that_the_box_confirms_does_not_ask(film_with):
    film = film_with(smta(30))
    assert film.rate_source is RateSource.TIMES
    assert not any("slow motion" in note for note in film.notes)


def test_slow_in_a_part_that_is_not_named(film_with):
    film = film_with(smta(30, mode=7))
    assert (film.capture_rate_hz, film.rate_source) == (pytest.approx(30), RateSource.TIMES)
    assert any("does not say which part" in note for note in film.notes)


@pytest.mark.parametrize("content", [box(b"smta", bytes(4)), smta(None), smta(0), smta(50000)])
def test_a_box_that_says_nothing_of_use_leaves_the_question(film_with, content):
    assert any("nothing in the file says" in note for note in film_with(content).notes)


def test_any_bytes_are_read_without_harm(tmp_path):
    chance = random.Random(2)
    good = bytearray(smta(240, mode=12))
    path = make(tmp_path / "f.mp4", Kind(options=GOP, frames=2))
    whole = with_box(path, bytes(good)).read_bytes()
    for _ in range(2000):
        data = bytearray(good)
        for _ in range(chance.choice([1, 2, 8])):
            data[chance.randrange(len(data))] = chance.randrange(256)
        in_user_data(bytes(data[: chance.randrange(len(data) + 1)]))
    begin = whole.index(b"moov") - 4
    for _ in range(300):
        data = bytearray(whole)
        for _ in range(chance.choice([1, 2, 8])):
            data[chance.randrange(begin, len(data))] = chance.randrange(256)
        path.write_bytes(data[: chance.randrange(begin, len(data) + 1)])
        camera_box(str(path))
