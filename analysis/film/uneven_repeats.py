"""Films in which some pictures stand more than once, in no even pattern: what that costs in the times."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from analysis.film.decoding import Decoder
from analysis.film.repeats import CHANGE, STILL, places_looked_at, sample
from analysis.values.film import Film
from analysis.values.words import tr

_NEAR = 3
"""A picture is new again within so many frames, else nothing moves there."""

_FEWEST = 2
"""One picture alone that stands twice may be a chance of compression."""


@dataclass(frozen=True)
class UnevenRepeats:
    """``repeated`` of ``looked_at`` frames show the picture before them; one picture stands for up to
    ``longest`` frames.
    """

    repeated: int = 0
    looked_at: int = 0
    longest: int = 1


def uneven_repeats(film: Film, stopped: Callable[[], bool] | None = None) -> UnevenRepeats:
    """Look at some 40 frames at each of four places, for a film that ``repeated_pictures`` finds ordinary.

    ``stopped``: asked between frames; when it says yes, what was seen till then counts. Raises FilmError or
    MissingFilmError where the film can't be opened any more.
    """
    times = [entry.pts for entry in film.index]
    found = UnevenRepeats()
    seen: set[int] = set()
    decoder = Decoder(film.path, film.stream, times if film.counted else None, threads=1)
    try:
        for begin in places_looked_at(film.index):
            if begin in seen or (stopped is not None and stopped()):
                continue
            seen.add(begin)
            _, differences = sample(decoder, times, begin, stopped)
            here = uneven(differences)
            found = UnevenRepeats(
                found.repeated + here.repeated,
                found.looked_at + here.looked_at,
                max(found.longest, here.longest),
            )
    finally:
        decoder.close()
    return found if found.repeated >= _FEWEST else UnevenRepeats(0, found.looked_at)


def uneven(differences: Sequence[float]) -> UnevenRepeats:
    """Repeats among frames that differ so much, each from the one before it.

    A repeat changes next to nothing while pictures change just before and just after it.
    """
    repeated, longest, held = 0, 1, 1
    for place, by in enumerate(differences):
        before = differences[max(0, place - _NEAR) : place]
        after = differences[place + 1 : place + 1 + _NEAR]
        level = min(max(before, default=0.0), max(after, default=0.0))
        stands = level >= CHANGE and by < STILL * level
        held = held + 1 if stands else 1
        repeated, longest = repeated + stands, max(longest, held)
    return UnevenRepeats(repeated, len(differences), longest)


def uneven_sentence(film: Film, repeats: UnevenRepeats) -> str:
    """What the coach is told; empty for an ordinary film."""
    if not repeats.repeated or not film.container_rate_hz:
        return ""
    rate_hz = film.capture_rate_hz or film.container_rate_hz
    return tr(
        "Some pictures stand more than once in this film, unevenly: {repeated} of {looked} frames looked at "
        "repeat the one before. A frame may show what was {late:.0f} ms earlier, and a contact time may be "
        "off by as much. No steady rate would put that right; use the file as the camera wrote it."
    ).format(
        repeated=repeats.repeated,
        looked=repeats.looked_at,
        late=1000 * (repeats.longest - 1) / rate_hz,
    )
