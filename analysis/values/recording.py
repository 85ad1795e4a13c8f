"""What a coach spoke over a film: the sound, and beside it what the film showed and what was drawn."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from operator import attrgetter

from analysis.values.film import FrameNumber


@dataclass(frozen=True)
class Shown:
    """From ``t_s`` of the sound on the film shows ``frame``, and the second one ``beside``, if there is one.

    ``stop_id``: the stop that is being told; empty where none is.
    """

    t_s: float
    frame: FrameNumber
    beside: FrameNumber | None = None
    stop_id: str = ""


@dataclass(frozen=True)
class PenPoint:
    """The pen was at u, v of the shown picture, in pixels, at ``t_s`` of the sound."""

    t_s: float
    u: float
    v: float


@dataclass(frozen=True)
class PenStroke:
    """A line that the coach drew by hand while speaking. ``until_s``: when it was wiped away, in s of the
    sound; None where it stays. ``beside``: it lies over the second film.
    """

    points: tuple[PenPoint, ...]
    until_s: float | None = None
    beside: bool = False

    def drawn_at(self, t_s: float) -> tuple[PenPoint, ...]:
        """What of it is to be seen at a time: grows as it was drawn, empty before and after."""
        if self.until_s is not None and t_s >= self.until_s:
            return ()
        return self.points[: bisect_right(self.points, t_s, key=attrgetter("t_s"))]


@dataclass(frozen=True)
class Recording:
    """One piece of speech with the film that belongs to it; all times are s from the sound's beginning.

    ``sound``: a sound file, Opus in Ogg, one channel of 48 kHz. ``lasts_s``: how long it is. ``playhead``: by
    rising times, the first one at 0. ``strokes``: by the times at which they were begun.
    """

    id: str
    sound: bytes
    lasts_s: float
    playhead: tuple[Shown, ...]
    strokes: tuple[PenStroke, ...] = ()

    def at(self, t_s: float) -> Shown:
        """What the film showed at a time. Raises IndexError where nothing was noted."""
        place = bisect_right(self.playhead, t_s, key=attrgetter("t_s")) - 1
        return self.playhead[max(0, place)]

    def strokes_at(self, t_s: float) -> tuple[PenStroke, ...]:
        """The strokes that are to be seen at a time, as far as they had been drawn."""
        seen = (PenStroke(one.drawn_at(t_s), one.until_s, one.beside) for one in self.strokes)
        return tuple(one for one in seen if one.points)
