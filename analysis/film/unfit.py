"""Frames that are whole, but can't stand among the others of their film."""

from __future__ import annotations

from collections.abc import Callable

from av.video.frame import VideoFrame

from analysis.values.errors import InterlacedError, OtherSizeError, UnfitFrameError
from analysis.values.film import Film
from analysis.values.words import tr

Refusal = Callable[[int], UnfitFrameError]
"""The error, of a frame's number."""


def why_unfit(frame: VideoFrame, film: Film) -> Refusal | None:
    """Why a frame of a film is not shown; None for one that is."""
    if frame.interlaced_frame:
        return _interlaced
    # marks and points would lie elsewhere on it, and nothing says how it was cut or enlarged
    if (frame.width, frame.height) != (film.stored_width, film.stored_height):
        return _other_size
    return None


def _interlaced(number: int) -> UnfitFrameError:
    return InterlacedError(
        tr(
            "Frame {frame} is interlaced: it holds two moments, so it is not shown. "
            "Film with a progressive setting (such as 60p instead of 60i)."
        ).format(frame=number)
    )


def _other_size(number: int) -> UnfitFrameError:
    return OtherSizeError(
        tr(
            "Frame {frame} has another size than the film's first picture, so it is not shown: films were "
            "put together. Open the file that the camera wrote."
        ).format(frame=number)
    )
