"""From a decoded frame to the picture as shown."""

from __future__ import annotations

from threading import Lock

import numpy as np
import numpy.typing as npt
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace, Interpolation, VideoReformatter

from analysis.film.last_columns import LastColumns, is_quick
from analysis.film.orientation import oriented
from analysis.film.pooled import PooledPictures
from analysis.values.film import Film

Picture = npt.NDArray[np.uint8]
"""A shown picture: (height, width, 4), blue, green, red, 255; C-contiguous, no other picture's memory."""

_UNTAGGED = 2
_HD_HEIGHT = 720

_LOCKS = 64

SCREEN_PIXELS = 1920 * 1088
"""Films with larger pictures are kept at the size of a screen; coders round 1080 lines up to 1088."""


def screen_width(film: Film) -> int | None:
    """How wide the pictures of a film larger than a screen are kept, in pixels as shown; None for others."""
    width, height = film.shown_size
    share = (SCREEN_PIXELS / (width * height)) ** 0.5
    return None if share >= 1 else int(width * share)


class FrameLocks:
    """A lock for a frame: a converter writes into the frame that it reads, what colours it has, and takes
    that back at the end. Frames have different ones, so that none waits for another's picture.
    """

    def __init__(self) -> None:
        self._locks = tuple(Lock() for _ in range(_LOCKS))

    def of(self, frame: VideoFrame) -> Lock:
        """The lock of a frame, always the same."""
        return self._locks[(id(frame) >> 4) % _LOCKS]


class PictureMaker:
    """Makes shown pictures of one film; keeps the converter, which is costly to set up.

    ``locks``: shared by makers on different threads that may convert the same frame at the same time.
    """

    def __init__(self, film: Film, locks: FrameLocks | None = None) -> None:
        self._film = film
        self._locks = locks or FrameLocks()
        self._quick = PooledPictures(film.rotation_deg, film.mirrored)
        self._full = VideoReformatter()
        self._small = VideoReformatter()
        self._keeping = VideoReformatter()
        self._kept = VideoReformatter()
        self._columns = LastColumns()
        self._stretched = (round(film.stored_width * film.pixel_aspect), film.stored_height)

    def full(self, frame: VideoFrame) -> Picture:
        """The shown picture in full size."""
        width, height = self._stretched
        if is_quick(frame, width, height) and not self._columns.missing(frame, width, height):
            return _pixels(self._quick.made(frame, self._colours(frame)))
        return self._converted(self._full, frame, *self._stretched, Interpolation.BICUBIC)

    def small(self, frame: VideoFrame, max_width: int) -> Picture:
        """The shown picture, at most ``max_width`` pixels wide as shown, never enlarged."""
        return self._converted(self._small, frame, *self._scaled(max_width), Interpolation.AREA)

    def to_keep(self, frame: VideoFrame, max_width: int) -> VideoFrame:
        """The frame scaled down and not turned yet, in the least memory: 12 bits a pixel."""
        return self._keeping.reformat(
            frame,
            *self._scaled(max_width),
            "yuv420p",
            src_colorspace=self._colours(frame),
            dst_colorspace=Colorspace.ITU709,
            dst_color_range=ColorRange.JPEG,
            interpolation=Interpolation.FAST_BILINEAR,
            threads=1,
        )

    def of_kept(self, kept: VideoFrame) -> Picture:
        """The shown picture of what ``to_keep`` gave."""
        shown = self._kept.reformat(
            kept,
            format="bgra",
            src_colorspace=Colorspace.ITU709,
            src_color_range=ColorRange.JPEG,
            interpolation=Interpolation.FAST_BILINEAR,
            threads=1,
        )
        return self._as_shown(shown, kept, Colorspace.ITU709)

    def _scaled(self, max_width: int) -> tuple[int, int]:
        share = min(1.0, max_width / self._film.shown_size[0])
        width, height = (max(1, round(side * share)) for side in self._stretched)
        return width, height

    def _colours(self, frame: VideoFrame) -> Colorspace | None:
        # Without a tag the converter takes the colours of standard definition; HD film has BT.709.
        untagged_hd = frame.colorspace == _UNTAGGED and self._film.stored_height >= _HD_HEIGHT
        return Colorspace.ITU709 if untagged_hd else None

    def _converted(
        self, converter: VideoReformatter, frame: VideoFrame, width: int, height: int, how: Interpolation
    ) -> Picture:
        # One thread: several leave chance bytes at the edges of their strips where the width is odd to them.
        with self._locks.of(frame):
            shown = converter.reformat(
                frame,
                width,
                height,
                "bgra",
                src_colorspace=self._colours(frame),
                interpolation=how,
                threads=1,
            )
            return self._as_shown(shown, frame, self._colours(frame))

    def _as_shown(self, converted: VideoFrame, source: VideoFrame, colours: Colorspace | None) -> Picture:
        picture = _pixels(converted)
        missing = self._columns.missing(source, converted.width, converted.height)
        if missing:
            self._columns.write(picture, source, missing, colours)
        return oriented(picture, self._film.rotation_deg, self._film.mirrored)


def _pixels(made: VideoFrame) -> Picture:
    plane, width, height = made.planes[0], made.width, made.height
    lines: Picture = np.frombuffer(memoryview(plane), np.uint8).reshape(height, plane.line_size)
    return np.ascontiguousarray(lines[:, : width * 4].reshape(height, width, 4))
