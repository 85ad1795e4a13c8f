"""Films in which every picture stands several times, such as recordings of a screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from av.video.frame import VideoFrame
from av.video.reformatter import Interpolation, VideoReformatter

from analysis.film.decoding import DamageMetError, Decoder
from analysis.values.errors import FilmError
from analysis.values.film import Film, IndexEntry
from analysis.values.words import tr, tr_count

MOST_REPEATS = 8
"""A picture that stands more often is looked for no more: the film would be too slow for a run."""

_SAMPLE = 40
_PLACES = (0.5, 0.25, 0.75, 0.0)
"""Where in the film samples are taken, as shares of it: an athlete may stand still at the beginning."""

STILL = 0.15
"""Repeats differ by less than this share of what new pictures differ by; real frames by a third or more."""

CHANGE = 0.05
"""New pictures differ by this much on the mean, in levels of 255; less and nothing moves."""

_GROUPS = 4
"""So many new pictures must be seen."""

_SIZE = (160, 90)


@dataclass(frozen=True)
class Repeats:
    """Every picture stands ``every`` times, 1 for once; frame ``first`` (below ``every``) shows a new one."""

    every: int = 1
    first: int = 0


def repeated_pictures(film: Film, stopped: Callable[[], bool] | None = None) -> int:
    """How many times every picture of the film stands: 1 for an ordinary film, or where it can't be told.

    Decodes some 40 frames at up to four places of the film. ``stopped``: asked between frames; when it says
    yes, the answer is 1. Raises FilmError or MissingFilmError where the film can't be opened any more.
    """
    return find_repeats(film.path, film.stream, film.index, stopped).every


def find_repeats(
    path: str, stream: int, index: Sequence[IndexEntry], stopped: Callable[[], bool] | None = None
) -> Repeats:
    """The same from the parts of a film; with the place of the first new picture."""
    times = [entry.pts for entry in index]
    found: list[Repeats] = []
    decoder = Decoder(path, stream)
    try:
        for begin in places_looked_at(index):
            try:
                numbers, differences = sample(decoder, times, begin, stopped)
            except DamageMetError:
                decoder.go_alone()
                numbers, differences = sample(decoder, times, begin, stopped)
            repeats = pattern(numbers, differences)
            if repeats is not None:
                found.append(repeats)
            if len(found) == 2 or (stopped is not None and stopped()):
                break
    finally:
        decoder.close()
    if found and all(repeats == found[0] for repeats in found):
        return found[0]
    return Repeats()


def repeats_sentence(film: Film, every: int) -> str:
    """What the coach is told and asked; empty for an ordinary film."""
    if every < 2:
        return ""
    return tr(
        "Every picture stands {every} times in this film, as in a recording of a screen: it plays "
        "{plays:.4g} frames per second and shows {shows:.4g} different ones. "
        "Leave the repeats out, and every time is as sure as the film allows."
    ).format(every=every, plays=film.container_rate_hz, shows=film.container_rate_hz / every)


def left_out_note(every: int) -> str:
    """What is said of a film whose repeats were left out."""
    return tr_count(
        "Every picture stands {every} time in the file.",
        "Every picture stands {every} times in the file; the repeats are left out.",
        every,
    ).format(every=every)


def without_repeats(
    path: str, stream: int, index: tuple[IndexEntry, ...], every: int
) -> tuple[IndexEntry, ...]:
    """The first of every ``every`` frames that show the same picture.

    A frame from which decoding can begin stays one: the first that is kept at or after it takes its place.
    Raises FilmError where the pictures don't stand that often.
    """
    repeats = find_repeats(path, stream, index)
    if repeats.every != every:
        raise FilmError(
            tr(
                "The pictures of this film don't stand {every} times each. Open it with all its frames."
            ).format(every=every)
        )
    kept, key = [], True  # decoding begins at the first frame in any case
    for number, entry in enumerate(index):
        key = key or entry.key
        if number == 0 or number % every == repeats.first:
            kept.append(IndexEntry(entry.pts, key))
            key = False
    return tuple(kept)


def pattern(numbers: Sequence[int], differences: Sequence[float]) -> Repeats | None:
    """Repeats that the differences tell, each that of frame ``numbers[i]`` to the one before.

    None where nothing moves or too few frames are seen.
    """
    if not len(differences) or max(differences) < CHANGE:
        return None
    at, by = np.asarray(numbers), np.asarray(differences)
    for every in range(2, MOST_REPEATS + 1):
        for first in range(every):
            new = at % every == first
            if new.sum() < _GROUPS or (~new).sum() < _GROUPS:
                continue
            # A few new ones may differ little, where the recording missed a picture; a few repeats may differ
            # much, where a key frame renews the picture.
            changes, stills = np.quantile(by[new], 0.25), np.quantile(by[~new], 0.75)
            # No other place of the pattern may hold a new picture as a rule: else it is another pattern.
            others = [float(np.median(by[at % every == place])) for place in range(every) if place != first]
            if changes >= CHANGE and max(stills, *others) < STILL * changes:
                return Repeats(every, first)
    return Repeats() if len(by) >= 2 * _GROUPS else None


def places_looked_at(index: Sequence[IndexEntry]) -> list[int]:
    """The key frames from which samples are taken."""
    return [_key_before(index, round(share * max(0, len(index) - _SAMPLE))) for share in _PLACES]


def _key_before(index: Sequence[IndexEntry], number: int) -> int:
    while number > 0 and not index[number].key:
        number -= 1
    return number


def sample(
    decoder: Decoder, times: Sequence[int], begin: int, stopped: Callable[[], bool] | None
) -> tuple[list[int], list[float]]:
    """Some forty frame numbers after a key frame, and how far each differs from the one before, in levels."""
    if begin == 0:
        decoder.begin()
    else:
        decoder.seek(times[begin])
    shrink = VideoReformatter()
    numbers: list[int] = []
    differences: list[float] = []
    before: npt.NDArray[np.int16] | None = None
    places = {pts: number for number, pts in enumerate(times)}
    last = -1
    for frame in _frames(decoder):
        number = -1 if frame.pts is None else places.get(frame.pts, -1)
        if number < begin:
            continue
        grey = shrink.reformat(frame, *_SIZE, "gray", interpolation=Interpolation.AREA, threads=1)
        picture = grey.to_ndarray().astype(np.int16)
        if before is not None and number == last + 1:
            numbers.append(number)
            differences.append(float(np.abs(picture - before).mean()))
        before, last = picture, number
        if len(numbers) >= _SAMPLE or (stopped is not None and stopped()):
            break
    return numbers, differences


def _frames(decoder: Decoder) -> Iterator[VideoFrame]:
    while (frame := decoder.next()) is not None:
        yield frame
