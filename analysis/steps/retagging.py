"""How well a coach repeats a tag: the same run tagged twice, the second time blind."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from scipy.special import chdtri

from analysis.steps.order import in_order
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.run import START_EVENTS, Run, Side
from analysis.values.tagging import TaggingError
from analysis.values.words import tr, tr_count

FEWEST_PAIRS = 6
"""So many events at least must have been tagged twice (own)."""
SAME_EVENT_S = 0.1
"""Tags of one foot farther apart than this are not of one event, s (own)."""


def tagging_error(first: Run, second: Run, times: FrameTimes) -> TaggingError | NoValue:
    """The coach's own tagging error: the standard deviation of the differences between two taggings of one
    run over sqrt(2) (Hopkins WG (2000) Sports Med 30:1-15: the typical error).

    Each touchdown and toe-off of the first is held against the nearest of the same foot in the second, if
    that lies within 0.1 s; the events of the start against their like. Events that are only proposed are left
    out. A shift that all tags share does not count. NoValue where fewer than six events were tagged twice.
    """
    differences = np.array(list(_differences(first, second, times)))
    if len(differences) < FEWEST_PAIRS:
        return NoValue(
            tr_count(
                "Only {pairs} event was tagged both times: tag at least {needed} of the run again to learn "
                "your own tagging error.",
                "Only {pairs} events were tagged both times: tag at least {needed} of the run again to learn "
                "your own tagging error.",
                len(differences),
            ).format(pairs=len(differences), needed=FEWEST_PAIRS)
        )
    return TaggingError(float(np.std(differences, ddof=1)) / math.sqrt(2), len(differences))


def tagging_range(error: TaggingError) -> tuple[float, float]:
    """The 95 % confidence interval of ``s_s``, s: how well so few pairs can tell it (chi-square with pairs
    - 1 degrees of freedom, for normal differences).
    """
    freedom = error.pairs - 1
    low, high = (error.s_s * math.sqrt(freedom / float(chdtri(freedom, 1 - q))) for q in (0.975, 0.025))
    return low, high


def tagging_words(error: TaggingError) -> str:
    """What a retagging showed, in a sentence."""
    if error.s_s <= 0.0:
        return tr(
            "All {pairs} events that were tagged twice stand on the same frames: your own tagging error is "
            "too small to be seen beside the frame itself."
        ).format(pairs=error.pairs)
    low, high = tagging_range(error)
    return tr(
        "Your own tagging error is {s:.1f} ms, from {pairs} events tagged twice; so few events leave "
        "{low:.1f} to {high:.1f} ms open."
    ).format(s=1e3 * error.s_s, pairs=error.pairs, low=1e3 * low, high=1e3 * high)


def _differences(first: Run, second: Run, times: FrameTimes) -> Iterator[float]:
    """Second tag less first, s, event by event."""
    one, two = first.start.confirmed, second.start.confirmed
    for name in START_EVENTS:
        yield from _pair([getattr(one, name)], [getattr(two, name)], times)
    for side in Side:
        for name in ("touchdown", "toe_off"):
            yield from _pair(_frames(first, side, name), _frames(second, side, name), times)


def _frames(run: Run, side: Side, name: str) -> list[int | None]:
    """Where one foot's touchdowns or toe-offs are tagged, in order of time."""
    return [getattr(f, name) for f in in_order(run.footfalls) if f.side is side and not f.draft]


def _pair(one: list[int | None], two: list[int | None], times: FrameTimes) -> Iterator[float]:
    there = [times.at(f) for f in two if f is not None and 0 <= f < len(times)]
    for frame in one:
        if frame is None or not 0 <= frame < len(times) or not there:
            continue
        at = times.at(frame)
        nearest = min(there, key=lambda t: abs(t - at))
        if abs(nearest - at) <= SAME_EVENT_S:
            yield nearest - at
