"""From a film to the path of its camera."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import cv2
import numpy as np

from analysis.background.between import fill
from analysis.background.chain import Chain, Tie, errors_from
from analysis.background.fitting import local
from analysis.background.following import grid, mapped
from analysis.background.held import held_by_turns
from analysis.background.laid import laid_together
from analysis.background.parallax import parallax_px
from analysis.background.pictures import Floats, Grey, GreyPictures
from analysis.background.shaping import resized_mask
from analysis.background.shifting import Shifted, held_by_shifts
from analysis.background.still import stillness
from analysis.background.turning import TURNS_WITHIN, Turning, turning
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.errors import FilmError
from analysis.values.film import Film, FrameNumber

RATE_HZ = 30.0
"""Frames of one captured second that are mapped at most; the others are interpolated."""

WALKS_FROM = 0.01
"""Widths of the picture by which near and far background part company where a camera walks. Turning on the
spot with a phone in the hands makes up to half of that; it is in ``error_px``.
"""

IN_PLACE, CARRIED, NEAR, SHIFTED = 1.5, 8.0, 0.5, 0.25
"""How far the running line is off, standard uncertainty: in what the maps are off a turn, everywhere and in
the picture farthest from the reference (towards it less, as the camera was carried less far); in what near
and far background part company; and in how far a picture lies from the reference, where its maps may be those
of a walk: past a wall half as far away again as the line the line goes half as far again as the wall. Chosen
by films whose cameras are known, so that twice it holds nine frames of ten of cameras in the hands and of
carried ones. No limit tells a carried camera from one on a stand: carried at 0.2 m/s past ground that shows
nothing it makes maps as near to a turn's as a stand does.
"""

TURNED_FAR = 0.5
"""Widths that the picture farthest from the reference lies away where a camera follows an athlete: one whose
maps are a turn's and that turns less is carried less for it.
"""

OF_A_SHIFT = 0.01
"""Share of its shift by which the running line is off where a window moved over a still camera's pictures,
standard uncertainty: what parts by five times as much would be seen (``laid``).
"""

Mask = Callable[[int], Grey | None]
"""The athlete in a frame, where known: 0 there, 255 elsewhere, as large as the shown picture; or None."""


def follow_background(
    film: Film,
    first: int,
    last: int,
    *,
    rate: float = RATE_HZ,
    lens: Lens | None = None,
    mask: Mask | None = None,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
) -> CameraPath:
    """Where every frame from ``first`` to ``last`` looks.

    A still camera is told by a few frames; its maps are unit matrices, ``error_px`` holds how far its
    background was off the first frame's. Else at most ``rate`` frames of a captured second are mapped and the
    others interpolated; the reference is the frame in the middle of what was seen. A camera that walks has
    infinite errors, but not a window that moved over a still camera's pictures, where the ground
    shifts as all else does; one that is carried but little while it turns can't be told from one
    that zooms, and is given errors as large as that makes them. A knock between the frames that are
    looked at can't be told from standing still.

    ``lens``: where it is known, the pictures are freed from its bend before they are followed, so that the
    maps are those between straight pixels, and the path says so. ``progress``: told the share that is done, 0
    to 1. ``stopped``: asked between frames; when it says yes, ReadingStopped (analysis.film.reader) is
    raised. Raises FrameError outside the film, FilmError or MissingFilmError where the film can't be
    opened any more.
    """
    times = film.facts.times
    first, last = times.checked(min(first, last)), times.checked(max(first, last))
    seconds = times.seconds[first : last + 1]
    with GreyPictures(film, stopped, lens) as pictures:
        still = stillness(film, pictures, first, last)
        if still is not None:
            return still.path(first, last, pictures.scale, lens)
        at = mapped_frames(seconds, rate)
        chain, places = _chained(pictures, [first + n for n in at], mask, progress)
        shape = pictures.picture(first).shape
        return replace(_path(chain, places, at, seconds, first, shape, pictures), lens=lens)


def mapped_frames(seconds: Floats, rate: float) -> list[int]:
    """The first frame, then at most ``rate`` of a captured second, and the last. ``seconds``: of the frames.

    One is due every 1 / rate and may come a tenth of that early, since frames come unevenly; what comes early
    does not bring the next one forward.
    """
    chosen, due = [0], seconds[0] + 1.0 / rate
    for number in range(1, len(seconds)):
        if seconds[number] >= due - 0.1 / rate:
            chosen.append(number)
            due = max(due + 1.0 / rate, seconds[number] + 0.9 / rate)
    if chosen[-1] != len(seconds) - 1:
        chosen.append(len(seconds) - 1)
    return chosen


def _chained(
    pictures: GreyPictures,
    numbers: Sequence[int],
    mask: Mask | None,
    progress: Callable[[float], None] | None,
) -> tuple[Chain, list[int | None]]:
    chain, places = Chain(), list[int | None]()
    for done, number in enumerate(numbers):
        try:
            picture = pictures.picture(number)
        except FilmError:  # a damaged frame is one that can't be tied
            places.append(None)
            continue
        off = None if mask is None else mask(number)
        if off is not None and off.shape != picture.shape:
            off = resized_mask(off, (picture.shape[1], picture.shape[0]))
        if off is not None:
            off = pictures.straight(off, cv2.INTER_NEAREST)
        places.append(chain.add(picture, off))
        if progress is not None:
            progress((done + 1) / len(numbers))
    return chain, places


def _path(
    chain: Chain,
    places: Sequence[int | None],
    at: list[int],
    seconds: Floats,
    first: int,
    shape: tuple[int, ...],
    pictures: GreyPictures,
) -> CameraPath:
    ties = chain.ties
    middle = _middle(chain, shape)
    back = np.linalg.inv(ties[middle].to_base)
    seen = np.stack([back @ tie.to_base for tie in ties])
    seen /= seen[:, 2:, 2:]
    parted = parallax_px([tie.parted for tie in ties])
    tied = [number for number, place in zip(at, places, strict=True) if place is not None]
    turned = turning(seen, shape, seconds[tied])
    walks = parted > WALKS_FROM * max(shape) or turned.shifts(max(shape))
    if not walks and turned.carried(max(shape)):
        held = held_by_turns(ties, middle, shape)
        walks = not held.turns(max(shape))
        if not walks:
            seen, turned = held.maps, held.turning
    shared, off_px = _shared(seen, shape, parted, turned), turned.off_px
    if walks:
        window = _window(ties, middle, pictures, [first + number for number in tied], max(shape))
        if window is not None:
            walks, seen, off_px = False, window.maps, window.off_px
            shared = np.hypot(off_px, OF_A_SHIFT * np.linalg.norm(window.shift_px, axis=1))
    errors = errors_from(ties, middle)
    maps = np.tile(np.eye(3), (len(at), 1, 1))
    error = np.full(len(at), np.inf)
    for place, number in enumerate(places):
        if number is not None:
            maps[place] = seen[number]
            error[place] = np.hypot(errors[number], shared[number]) * _stretch(maps[place], shape)
    every, every_error = fill(seconds, at, maps, error, shape)
    every = pictures.to_shown(every)
    every[~np.isfinite(every_error)] = np.eye(3)
    reference = first + at[places.index(middle)]
    return CameraPath(
        CameraKind.WALKING if walks else CameraKind.TURNING,
        FrameNumber(reference),
        FrameNumber(first),
        every,
        np.full(len(seconds), np.inf) if walks else every_error * pictures.scale,
        max(parted, off_px) * pictures.scale,
    )


def _window(
    ties: Sequence[Tie], middle: int, pictures: GreyPictures, frames: Sequence[int], width_px: int
) -> Shifted | None:
    """The shifts of a window that moved over a still camera's pictures, where these are such, ground and all;
    ``frames``: of the ties.
    """
    shifted = held_by_shifts(ties, middle)
    if not shifted.shifts(width_px):
        return None
    laid = laid_together(lambda number: pictures.picture(frames[number]), shifted.shift_px)
    return shifted if laid.one_shift else None


def _middle(chain: Chain, shape: tuple[int, ...]) -> int:
    """The tie in the middle of what was seen, by the way that the picture's centre went from tie to tie."""
    centre = np.array([[shape[1] / 2, shape[0] / 2]])
    way = [np.zeros(2)]
    for before, after in zip(chain.ties, chain.ties[1:], strict=False):
        step = np.linalg.inv(before.to_base) @ after.to_base
        way.append(way[-1] + (mapped(step / step[2, 2], centre) - centre)[0])
    gone = np.asarray(way)
    halfway = (gone.min(axis=0) + gone.max(axis=0)) / 2
    return int(np.argmin(np.linalg.norm(gone - halfway, axis=1)))


def _shared(seen: Floats, shape: tuple[int, ...], parted: float, turned: Turning) -> Floats:
    """How far the running line is off in each picture beyond the error of its tie, px, (n,). ``seen``: the
    maps to the reference; ``parted``: how far near and far part company.
    """
    places = grid(shape)
    moved = np.stack([mapped(through, places) - places for through in seen])
    shift = np.sqrt(np.mean((moved**2).sum(axis=2), axis=1))
    far = max(float(shift.max()), 1e-9)
    if turned.off_best_px <= TURNS_WITHIN * max(shape):
        far = max(far, TURNED_FAR * max(shape))
    everywhere = max(NEAR * parted, IN_PLACE * turned.off_px)
    off: Floats = np.hypot(everywhere, CARRIED * turned.off_px * shift / far)
    return np.hypot(off, SHIFTED * shift) if turned.may_walk else off


def _stretch(through: Floats, shape: tuple[int, ...]) -> float:
    """Pixels of the reference in one of the frame, root mean square over the picture."""
    return float(np.sqrt(np.mean(local(through, grid(shape)) ** 2) * 2))
