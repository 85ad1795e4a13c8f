"""Opening a video file safely, and saying in words why one can't be opened."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import av
from av.container import InputContainer
from av.stream import Disposition
from av.video.stream import VideoStream

from analysis.film.extent import lacks_its_index
from analysis.values.errors import FilmError, MissingFilmError
from analysis.values.words import tr

# Anything else (text shown as a terminal, playlists that fetch other files, still pictures) is no film.
_FORMATS = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts,mpeg,asf,flv"
_OPTIONS = {"format_whitelist": _FORMATS, "protocol_whitelist": "file"}
_TIMEOUT_S = 20.0

READ_ERRORS = (av.FFmpegError, OSError, IndexError)
"""What reading a damaged file raises; the last where streams turn up that its head does not name."""


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
    if lacks_its_index(path):
        return tr(
            "The file {name} breaks off before its table of frames, as when a recording or a copy was "
            "interrupted. Copy it from the phone again."
        ).format(name=name)
    return tr("The file {name} is not a film that can be read. Choose a video file.").format(name=name)
