"""A table of frames that is missing or wrong misleads nobody."""

import random

import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from tests.analysis.film.making import straight
from tests.helpers.programs import need
from tests.truth.ffprobe_tables import ask


def hurt(source, target, change):
    """A copy of a file with its bytes changed."""
    data = bytearray(source.read_bytes())
    change(data)
    target.write_bytes(data)
    return target


def wrong(film, pictures):
    """Frames whose picture is not that of the list, in 300 jumps and backwards."""
    chance = random.Random(5)
    order = [chance.randrange(film.frames) for _ in range(300)] + list(range(film.frames - 1, -1, -1))
    with FrameReader(film, 30_000) as reader:
        return [n for n in order if not np.array_equal(reader.picture(n), pictures[n])]


def renamed(name, to):
    """Let a part of the file go by another name, so that it is not found."""

    def change(data):
        at = data.rindex(name)
        data[at : at + len(name)] = to

    return change


def from_the_beginning(data):
    """Places in the AVI's list of frames count from the beginning of the file, not of the pictures.

    An entry is kind, flags, place, size, of four bytes each.
    """
    at, pictures = data.rindex(b"idx1") + 8, data.index(b"movi")
    for n in range((len(data) - at) // 16):
        place = at + 16 * n + 8
        far = int.from_bytes(data[place : place + 4], "little") + pictures
        data[place : place + 4] = far.to_bytes(4, "little")


def halved(data):
    """The AVI's list of frames ends in the middle of the film."""
    at = data.rindex(b"idx1") + 4
    size = int.from_bytes(data[at : at + 4], "little") // 32 * 16
    data[at : at + 4] = size.to_bytes(4, "little")
    del data[at + 4 + size :]


def all_keys_in_avi(data):
    """Every frame of the AVI's list says that it stands alone."""
    at = data.rindex(b"idx1") + 8
    for n in range((len(data) - at) // 16):
        data[at + 16 * n + 4] |= 0x10


def wrong_keys(step):
    """The list of frames from which decoding can begin names others (ISO/IEC 14496-12, 8.6.2)."""

    def change(data):
        at = data.index(b"stss") + 8
        count = int.from_bytes(data[at : at + 4], "big")
        assert count > 3
        for n in range(1, count):
            place = at + 4 + 4 * n
            frame = int.from_bytes(data[place : place + 4], "big") + step
            data[place : place + 4] = frame.to_bytes(4, "big")

    return change


def wrong_cues(data):
    """Every second place in Matroska's table of contents is that of the one before it (RFC 9559, 5.1.5)."""
    cues = data.rindex(bytes.fromhex("1C53BB6B"))
    times = [at for at in range(cues, len(data) - 3) if data[at] == 0xB3 and data[at + 1] in (0x81, 0x82)]
    assert len(times) > 2
    for at in times[1:]:
        data[at + 2] ^= 0x01


CASES = {
    "mp4 without its list of key frames": ("h264 open groups", renamed(b"stss", b"free")),
    "mp4 whose key frames are one too late": ("h264 open groups", wrong_keys(1)),
    "mp4 whose key frames are two too early": ("h264 with B-frames", wrong_keys(-2)),
    "mov whose key frames are one too late": ("hevc open groups", wrong_keys(1)),
    "mkv without a table of contents": ("mkv", renamed(bytes.fromhex("1C53BB6B"), bytes.fromhex("1C53BB6C"))),
    "mkv whose table of contents is wrong": ("mkv", wrong_cues),
    "webm without a table of contents": (
        "webm",
        renamed(bytes.fromhex("1C53BB6B"), bytes.fromhex("1C53BB6C")),
    ),
    "avi without a list of frames": ("avi", renamed(b"idx1", b"JUNK")),
    "avi whose list counts from elsewhere": ("avi", from_the_beginning),
    "avi whose list ends too early": ("avi", halved),
    "avi whose list calls all frames whole": ("avi", all_keys_in_avi),
    "fragments without a list at the end": ("in fragments", renamed(b"mfra", b"free")),
}


@pytest.mark.parametrize("name", CASES)
def test_every_frame_is_still_the_one_it_was(tmp_path, film_of_kind, name):
    kind, change = CASES[name]
    source = film_of_kind(kind)
    times, pictures = straight(source)
    path = hurt(source, tmp_path / f"hurt{source.suffix}", change)
    film = open_film(path)
    assert film.frames == len(times)
    assert film.facts.times.seconds == pytest.approx((np.array(times) - times[0]) * float(film.time_base))
    assert not wrong(film, pictures)
    assert [pts for pts, _ in ask(need("ffprobe"), path)[1]] == [entry.pts for entry in film.index]
