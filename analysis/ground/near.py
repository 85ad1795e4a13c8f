"""How far from an event a click or a line may stand and still tell of it.

A tag that is set right by a frame leaves the clicks where they were: they go on counting.
"""

from __future__ import annotations

REACH_S = 0.025
"""As far in time, s, as a click or a line may stand from an event (own assumption) ..."""
REACH_FRAMES = 3
"""... or as many frames, whichever is longer (own assumption)."""


def within_reach(frames_away: int, seconds_away: float) -> bool:
    """True where so many frames and seconds, of either sign, are near enough to an event's tagged frame."""
    return abs(frames_away) <= REACH_FRAMES or abs(seconds_away) <= REACH_S + 1e-9
