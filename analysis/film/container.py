"""Opening a video file safely, and saying in words why one can't be opened."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import av
from av.container import InputContainer
from av.stream import Disposition
from av.video.stream import VideoStream

from analysis.values.errors import FilmError, MissingFilmError
from analysis.values.words import tr

# Anything else (text shown as a terminal, playlists that fetch other files, still pictures) is no film.
_FORMATS = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts,mpeg,asf,flv"
_OPTIONS = {"format_whitelist": _FORMATS, "protocol_whitelist": "file"}
_TIMEOUT_S = 20.0

READ_ERRORS = (av.FFmpegError, OSError, IndexError)
"""What reading a damaged file raises; the last where streams turn up that its head does not name."""

_BOX_HEADER = 8
_MOST_BOXES = 1000  # a film in fragments has many; the first tell enough


@contextmanager
def opened(path: str) -> Iterator[InputContainer]:
    """The container at ``path``, closed on leaving. Raises FilmError or MissingFilmError."""
    container = open_container(path)
    try:
        yield container
    finally:
        container.close()


def open_container(path: str) -> InputContainer:
    """Open the file; the caller closes it. Raises FilmError or MissingFilmError."""
    _check_file(path)
    try:
        # The prefix keeps a colon in a file name from being taken for the name of a protocol.
        return av.open(
            "file:" + path, "r", options=dict(_OPTIONS), metadata_errors="replace", timeout=_TIMEOUT_S
        )
    except PermissionError as error:
        raise FilmError(_unreadable(path)) from error
    except (av.FFmpegError, OSError, ValueError) as error:
        raise FilmError(_why_not(path)) from error


def is_usable(stream: VideoStream) -> bool:
    """Whether the stream is a moving picture that can be decoded here, not a cover picture."""
    # Without a decoder there is no codec context (the library's types deny it); use kills the process.
    context: object = stream.codec_context
    return context is not None and not stream.disposition & Disposition.attached_pic


def _check_file(path: str) -> None:
    file = Path(path)
    if not file.exists():
        raise MissingFilmError(
            tr("The film {name} is not at {folder}. Connect the drive or choose where it is now.").format(
                name=file.name, folder=file.parent
            )
        )
    if not file.is_file():
        raise FilmError(tr("{name} is a folder, not a film. Choose a file in it.").format(name=file.name))
    try:
        size = file.stat().st_size
    except OSError as error:
        raise FilmError(_unreadable(path)) from error
    if size == 0:
        raise FilmError(tr("The file {name} is empty. Copy it from the phone again.").format(name=file.name))


def _unreadable(path: str) -> str:
    return tr("The file {name} may not be read. Allow reading it, or copy it elsewhere.").format(
        name=Path(path).name
    )


def _why_not(path: str) -> str:
    name = Path(path).name
    if _lacks_its_index(path):
        return tr(
            "The file {name} breaks off before its table of frames, as when a recording or a copy was "
            "interrupted. Copy it from the phone again."
        ).format(name=name)
    return tr("The file {name} is not a film that can be read. Choose a video file.").format(name=name)


def is_cut_off(path: str) -> bool:
    """Whether an MP4, MOV or AVI file is shorter than it says itself."""
    _, end_of_last, size = _boxes(path)
    return end_of_last > size


def _lacks_its_index(path: str) -> bool:
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
    return kinds, place, size
