"""When a tagged event happened, and how well that is known."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from statistics import NormalDist

from scipy.special import stdtrit

from analysis.ground.carried import Carried, Source, combine, normal, rectangular
from analysis.values.film import FrameTimes
from analysis.values.tagging import TaggingError

DEFAULT_DOUBT_S = 0.005
"""Half width within which a contact itself looks doubtful, s, until a coach has retagged blind (own
assumption)."""


@dataclass(frozen=True)
class Event:
    """An event tagged on ``frame``, the first frame in which it has happened.

    ``time``: its time in s from the film's first frame, with its own error sources. ``behind_s``: half the
    frame interval before the frame, by which the estimate lies before the tagged frame.
    """

    frame: int
    time: Carried
    behind_s: float

    @property
    def seconds(self) -> float:
        """The estimate in s from the film's first frame."""
        return float(self.time.nominal_value)


@cache
def widened_for(pairs: int) -> float:
    """By what a standard deviation of ``pairs`` differences is multiplied, so that ``1.96`` times it holds
    95 %: Student's t for ``pairs - 1`` degrees of freedom over 1.96 (JCGM 100:2008, G.3.2; 1.31 for six).
    """
    return float(stdtrit(max(1, pairs - 1), 0.975)) / NormalDist().inv_cdf(0.975)


def _measured(tagging: TaggingError) -> Source:
    return normal(tagging.s_s * widened_for(tagging.pairs))


def read_event(
    times: FrameTimes,
    frame: int | None,
    unsure_frames: int | None = None,
    tagging: TaggingError | None = None,
) -> Event | None:
    """The event tagged on ``frame``: ``t_i - d/2`` with ``d = t_i - t_(i-1)``.

    It fell between that frame and the one before: rectangular, u = d / sqrt(12) (JCGM 100:2008, 4.3.7 and
    F.2.2.1). Beside it stands the doubt about the contact itself, rectangular too, 5 ms either way, so that
    ``u = sqrt(d^2/12 + T^2/3)``; where the coach's own ``tagging`` error s was measured, that in its place:
    ``u = sqrt(d^2/12 + (w s)^2)``, w as ``widened_for`` has it. ``unsure_frames``: None for these, 0 for
    "sure" (no doubt), n for "may be wrong by n frames either way", one rectangular term with
    u = (2n + 1) d / sqrt(12). Where the file keeps
    times to a coarse unit r, as Matroska does to 1 ms, both frames' times are rounded, at worst alike:
    u = r / sqrt(12) more. None where nothing is tagged or the film does not hold the frame.
    """
    if frame is None or not 0 <= frame < len(times) or len(times) < 2:
        return None
    interval = times.interval_before(frame)
    sources: dict[Source, float] = {rectangular((2 * (unsure_frames or 0) + 1) * interval / 2): 1.0}
    if unsure_frames is None:
        sources[rectangular(DEFAULT_DOUBT_S) if tagging is None else _measured(tagging)] = 1.0
    if unit := times.rounded_to_s:
        sources[rectangular(unit / 2)] = 1.0  # at worst both times were rounded alike
    return Event(frame, combine(times.at(frame) - interval / 2, sources), interval / 2)
