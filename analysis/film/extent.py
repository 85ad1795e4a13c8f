"""How long a file says that it is, against how long it is: what was lost of it when it was copied."""

from __future__ import annotations

from pathlib import Path

from av.container import InputContainer
from av.video.stream import VideoStream

from analysis.film.matroska import matroska_head
from analysis.film.transport import ends_in_a_packet

_BOX_HEADER = 8
_MOST_BOXES = 1000  # a film in fragments has many; the first tell enough


def is_cut_off(path: str) -> bool:
    """Whether a file ends before it should: an MP4, MOV, AVI or Matroska file that is shorter than it says, a
    transport stream that ends within a packet.
    """
    head = matroska_head(path)
    if head is not None:
        return head.end is not None and head.end > Path(path).stat().st_size
    _, end_of_last, size = _boxes(path)
    return end_of_last > size or ends_in_a_packet(path)


def says_no_end(container: InputContainer) -> bool:
    """Whether files of its kind don't say where they end: MPEG program streams, ASF and FLV, in which one
    that was cut off between two packets is like a whole one.
    """
    return container.format.name in ("mpeg", "asf", "flv")


def said_to_last_s(path: str, container: InputContainer, stream: VideoStream) -> float | None:
    """When the last picture is over by the head of the file, s from time 0; None where it doesn't say.

    Told for Matroska and AVI only: MP4 lists every picture, and there its head is known to lie.
    """
    head = matroska_head(path)
    if head is not None:
        return head.lasts_s
    if container.format.name == "avi" and stream.duration and stream.time_base:
        return float(stream.duration * stream.time_base)
    return None


def lacks_its_index(path: str) -> bool:
    """Whether an MP4 or MOV file ends without the box that lists its frames."""
    kinds, end_of_last, size = _boxes(path)
    known = {b"ftyp", b"mdat", b"wide", b"free"}
    return bool(kinds) and kinds[0] in known and (b"moov" not in kinds or end_of_last > size)


def _boxes(path: str) -> tuple[list[bytes], int, int]:
    """Kinds of the outermost boxes, where the last says that it ends, and the size of the file, in bytes."""
    kinds: list[bytes] = []
    place = 0
    with Path(path).open("rb") as file:
        size = file.seek(0, 2)
        while place + _BOX_HEADER <= size and len(kinds) < _MOST_BOXES:
            file.seek(place)
            header = file.read(2 * _BOX_HEADER)
            if header[:4] == b"RIFF":
                return [b"RIFF"], int.from_bytes(header[4:8], "little") + _BOX_HEADER, size
            kinds.append(header[4:8])
            if not kinds[0].isalpha() or not kinds[-1].strip(b"\0"):
                return [], 0, size
            length = int.from_bytes(header[:4], "big")
            if length == 1:
                length = int.from_bytes(header[8:], "big")
            if length < _BOX_HEADER:
                break
            place += length
        if b"moof" in kinds and 0 < size - place < _BOX_HEADER:
            place += _BOX_HEADER  # one fragment more was begun
    return kinds, place, size
