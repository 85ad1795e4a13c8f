"""Short runs of small grey pictures from several places of a film, for judging how it was filmed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from av.video.reformatter import Interpolation, VideoReformatter

from analysis.film.orientation import oriented
from analysis.film.reader import FrameReader, ReadingStopped
from analysis.values.errors import FilmError, UnfitFrameError
from analysis.values.film import Film

Grey = npt.NDArray[np.uint8]
"""A small picture as shown: (height, width)."""

WIDTH = 640
"""The wider side of the small pictures is so many pixels at most."""

_PLACES = 8

_MOST_DECODED = 30
"""Frames of a burst that are decoded at most, so that a film of many frames a second takes no longer."""


@dataclass(frozen=True)
class Burst:
    """Pictures of a few frames near each other; ``times_s``: their capture times in s."""

    times_s: tuple[float, ...]
    pictures: tuple[Grey, ...]


@dataclass(frozen=True)
class Bursts:
    """``scale``: pixels of the shown picture in one of the small ones. ``given_up``: not all is there.

    ``unfit``: the first frame met of each kind that can't stand among the others; such frames are left out.
    """

    bursts: tuple[Burst, ...]
    scale: float
    given_up: bool = False
    unfit: Mapping[type[UnfitFrameError], int] = field(default_factory=dict)


def take_bursts(
    film: Film,
    frames: int = 6,
    span_s: float = 0.2,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
    threads: int = 1,
) -> Bursts:
    """Small pictures at eight places, each over ``span_s`` of capture time in up to ``frames`` frames.

    Each begins at a key frame, so that little is decoded. ``progress``: told the share that is done.
    ``stopped``: asked before each frame. ``threads``: how many decode; one leaves room for other work.
    Raises FilmError or MissingFilmError where the film can't be opened any more.
    """
    times = film.facts.times.seconds
    keys = [number for number, entry in enumerate(film.index) if entry.key]
    wanted = sorted({_nearest(keys, place * film.frames / _PLACES) for place in range(_PLACES)})
    width, height = film.shown_size
    scale = max(1.0, max(width, height) / WIDTH)
    shrink = _Shrink(film, scale)
    found: list[Burst] = []
    unfit: dict[type[UnfitFrameError], int] = {}
    with FrameReader(film, 1, threads, stopped) as reader:
        for place, begin in enumerate(wanted):
            end = int(np.searchsorted(times, times[begin] + span_s, side="right"))
            last = min(film.frames - 1, max(begin + 1, end - 1), begin + _MOST_DECODED)
            numbers = np.unique(np.linspace(begin, last, min(frames, last - begin + 1)).round().astype(int))
            pictures, at = [], []
            for number in numbers:
                try:
                    pictures.append(shrink(reader, int(number)))
                except UnfitFrameError as error:
                    unfit.setdefault(type(error), int(number))
                    continue
                except FilmError:  # a damaged frame is left out
                    continue
                except ReadingStopped:
                    return Bursts(tuple(found), scale, given_up=True)
                at.append(float(times[number]))
            if pictures:
                found.append(Burst(tuple(at), tuple(pictures)))
            if progress is not None:
                progress((place + 1) / len(wanted))
    return Bursts(tuple(found), scale, unfit=unfit)


class _Shrink:
    """Makes small grey pictures as shown."""

    def __init__(self, film: Film, scale: float) -> None:
        self._film = film
        self._converter = VideoReformatter()
        width = round(film.stored_width * film.pixel_aspect)
        self._size = max(8, round(width / scale)), max(8, round(film.stored_height / scale))

    def __call__(self, reader: FrameReader, number: int) -> Grey:
        frame = reader.decoded(number)
        grey = self._converter.reformat(
            frame, *self._size, "gray", interpolation=Interpolation.AREA, threads=1
        ).to_ndarray()
        four: Grey = np.repeat(grey[:, :, None], 4, axis=2)
        shown: Grey = oriented(four, self._film.rotation_deg, self._film.mirrored)[:, :, 0]
        return np.ascontiguousarray(shown)


def _nearest(keys: list[int], number: float) -> int:
    return min(keys, key=lambda key: abs(key - number)) if keys else 0
