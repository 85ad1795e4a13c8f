"""From a film to the path of its camera."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import cv2
import numpy as np

from analysis.background.between import fill
from analysis.background.chain import Chain, Tie, errors_from
from analysis.background.fitting import local
from analysis.background.following import grid, mapped, rms
from analysis.background.held import Held, held_by_turns
from analysis.background.laid import laid_together
from analysis.background.nearest import nearest_px
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

GROUND_PARTS, GROUND_LIES, GROUND_TURNS, GROUND_HELD = 0.0125, 0.0025, 0.003, 0.004
"""Widths by which the nearest ground lies off the maps where a camera walks; by which it may, and these off a
turn, or corners off turns (``held``), to say that nothing parts. Carried at 0.1 m/s it parted by 0.005 to
0.008, at 0.2 by 0.015 or more, turning with a phone in the hands by 0.008 at most, in the real pan by 0.0105.
Where ground alone holds the maps of a walk, they shear it, which no turn does: corners were then off turns by
0.016 at least.
"""

CARRIED, SEEN, PARTED, SHIFTED = 11.0, 3.0, 0.7, 0.35
"""How far a carried camera puts the running line off *along the run*, standard uncertainty, in the picture
farthest from the reference; towards it less, as it was carried less far. In what the maps are off a turn:
where nothing near shows, and where the ground before the feet does and lies on the maps; in what near and far
part company; and in how far a picture lies from the reference, where nothing near shows and the maps may be
those of a walk: past a wall half as far away again as the line the line goes half as far again as the wall.
Chosen by films whose cameras are known, so that twice it holds nine frames of ten of cameras in the hands and
of carried ones. No limit tells a carried camera from one on a stand where the ground is bare: carried at
0.2 m/s it makes maps as near to a turn's as a stand does.
"""

OVERLAPS = 0.65
"""Widths over which a key picture serves: what near and far part company by is seen anew in each."""

TURNED_FAR = 0.25
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
    near = _nearest(ties, shape)
    walks, held = _walks(ties, middle, shape, parted, near, turned)
    if held is not None:
        seen, turned = held.maps, held.turning
    carried, off_px = _carried(seen, shape, parted, near, turned), turned.off_px
    if walks:
        window = _window(ties, middle, pictures, [first + number for number in tied], max(shape))
        if window is not None:
            walks, seen, off_px = False, window.maps, window.off_px
            carried = np.hypot(off_px, OF_A_SHIFT * np.linalg.norm(window.shift_px, axis=1))
    errors = errors_from(ties, middle, shape)
    maps = np.tile(np.eye(3), (len(at), 1, 1))
    error = np.full(len(at), np.inf)
    for place, number in enumerate(places):
        if number is not None:
            maps[place] = seen[number]
            error[place] = np.hypot(errors[number], carried[number] * _stretch(maps[place], shape))
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


def _walks(
    ties: Sequence[Tie],
    middle: int,
    shape: tuple[int, ...],
    parted: float,
    near: float | None,
    turned: Turning,
) -> tuple[bool, Held | None]:
    """Whether the camera walked; and the turns that hold the corners, where these are a turn's and their maps
    are not. ``parted``: how far near and far part company, ``near``: how far the nearest ground lies off the
    maps, px.

    Where that ground lies on maps, and either these are a turn's or turns hold all corners, nothing parts,
    whatever else seems to: a wall that few corners hold, far from where both pictures see it.
    """
    width = max(shape)
    lies = near is not None and near < GROUND_LIES * width
    parts = parted > WALKS_FROM * width or (near is not None and near > GROUND_PARTS * width)
    if parts and lies and turned.off_best_px < GROUND_TURNS * width:
        parts = False
    if turned.shifts(width) or (parts and not lies) or not (parts or turned.carried(width)):
        return turned.shifts(width) or parts, None
    held = held_by_turns(ties, middle, shape)
    turns = held.off_px <= GROUND_HELD * width if lies else held.turns(width)
    return (False, held) if turns else (True, None)


def _nearest(ties: Sequence[Tie], shape: tuple[int, ...]) -> float | None:
    """How far the nearest ground lies off the maps, px; None where it shows too little."""
    others = [tie for tie in ties if tie.parent >= 0]
    steps = [np.linalg.inv(ties[tie.parent].to_base) @ tie.to_base for tie in others]
    shift = np.array([rms(mapped(step, grid(shape)) - grid(shape)) for step in steps])
    return nearest_px([tie.followed for tie in others], [tie.before for tie in others], shift, shape)


def _carried(
    seen: Floats, shape: tuple[int, ...], parted: float, near: float | None, turned: Turning
) -> Floats:
    """How far a camera that was carried would put the running line off in each picture, px, (n,). ``seen``:
    the maps to the reference; ``parted``: how far near and far part company; ``near``: how far the nearest
    ground lies off the maps.
    """
    width, places = max(shape), grid(shape)
    moved = np.stack([mapped(through, places) - places for through in seen])
    shift: Floats = np.sqrt(np.mean((moved**2).sum(axis=2), axis=1))
    farthest = max(float(shift.max()), 1e-9)
    far = max(farthest, TURNED_FAR * width) if turned.off_best_px <= TURNS_WITHIN * width else farthest
    if near is None:
        off = np.hypot(CARRIED * turned.off_px * shift / far, PARTED * parted * shift / farthest)
        return np.hypot(off, SHIFTED * shift) if turned.may_walk(width) else off
    parts = max(parted, near * max(1.0, farthest / (OVERLAPS * width)))
    return np.asarray(np.hypot(SEEN * turned.off_px, PARTED * parts) * shift / farthest)


def _stretch(through: Floats, shape: tuple[int, ...]) -> float:
    """Pixels of the reference in one of the frame, root mean square over the picture."""
    return float(np.sqrt(np.mean(local(through, grid(shape)) ** 2) * 2))
