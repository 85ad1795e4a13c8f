"""The head of a Matroska file, written by hand from RFC 8794 (numbers) and RFC 9559 (elements)."""

import struct

import pytest

from analysis.film.matroska import MatroskaHead, matroska_head

EBML = bytes.fromhex("1A45DFA3") + bytes([0x84]) + bytes(4)
SEGMENT, INFO, VOID = bytes.fromhex("18538067"), bytes.fromhex("1549A966"), bytes.fromhex("EC")
SCALE, DURATION = bytes.fromhex("2AD7B1"), bytes.fromhex("4489")
UNKNOWN = bytes([0x01]) + b"\xff" * 7


def sized(length, width=8):
    """A length as a number of so many bytes: its mark, then its bits."""
    return ((1 << (7 * width)) | length).to_bytes(width, "big")


def element(kind, content):
    return kind + sized(len(content), 2) + content


def head_of(tmp_path, data):
    path = tmp_path / "head.mkv"
    path.write_bytes(data)
    return matroska_head(str(path))


@pytest.mark.parametrize(
    ("numbers", "lasts_s"),
    [
        (element(DURATION, struct.pack(">f", 2500.0)), 2.5),
        (element(SCALE, (100_000).to_bytes(3, "big")) + element(DURATION, struct.pack(">d", 2500.0)), 0.25),
        (element(SCALE, (1_000_000).to_bytes(3, "big")), None),
        (element(DURATION, b"\0\0"), None),
        (element(DURATION, struct.pack(">d", float("nan"))), None),
    ],
)
def test_length_in_bytes_and_in_time(tmp_path, numbers, lasts_s):
    content = element(VOID, bytes(20)) + element(INFO, numbers)
    begin = len(EBML) + len(SEGMENT) + 8
    assert head_of(tmp_path, EBML + SEGMENT + sized(5000) + content) == MatroskaHead(begin + 5000, lasts_s)
    assert head_of(tmp_path, EBML + SEGMENT + UNKNOWN + content) == MatroskaHead(None, lasts_s)


@pytest.mark.parametrize("data", [b"", b"\0" * 40, b"RIFF....AVI ", EBML, EBML + INFO + sized(3), EBML[:6]])
def test_what_is_no_matroska_file(tmp_path, data):
    assert head_of(tmp_path, data) is None


@pytest.mark.parametrize("cut", range(10, 60, 5))
def test_a_head_that_breaks_off_says_what_it_can(tmp_path, cut):
    info = element(INFO, element(DURATION, struct.pack(">d", 2500.0)))
    found = head_of(tmp_path, (EBML + SEGMENT + sized(5000) + element(VOID, bytes(9)) + info)[:cut])
    assert found is None or found.lasts_s in (None, 2.5)


def test_an_element_that_claims_the_largest_length_ends_the_head(tmp_path):
    vast = VOID + sized((1 << 56) - 2) + bytes(40)
    begin = len(EBML) + len(SEGMENT) + 8
    assert head_of(tmp_path, EBML + SEGMENT + sized(5000) + vast) == MatroskaHead(begin + 5000, None)
    assert head_of(tmp_path, bytes.fromhex("1A45DFA3") + sized((1 << 56) - 2) + bytes(40)) is None
