"""Which frames are made ready before they are asked for."""

from __future__ import annotations

AHEAD = 120
"""Frames made ready in the direction of travel: half a second at 240, two stretches between key frames."""

BEHIND = 30
"""Frames made ready the other way, for the coach who turns round."""

NEAR = 10
"""After a jump first so many on either side: nobody knows yet which way the next step goes."""

_STRIDE = 32
"""Moving on by so many frames at most is travelling, which has a direction; by more it is a jump."""

Wish = tuple[int, int]


def direction_of(moved_by: int, before: int) -> int:
    """1 or -1, or 0 after a jump. ``moved_by``: frames; ``before``: the direction so far."""
    if moved_by == 0:
        return before
    if abs(moved_by) > _STRIDE:
        return 0
    return 1 if moved_by > 0 else -1


def wishes_of(direction: int, *, playing: bool) -> list[Wish]:
    """Stretches in the order in which they are filled: how many frames (back, where negative), and how few of
    them may be ready before it is done: filling begins late enough that a step does not send the decoder to
    and fro. While the film plays, nobody turns round at once.
    """
    if playing and direction:
        return [(AHEAD * direction, AHEAD * 3 // 4)]
    way = direction or 1
    near = [(NEAR * way, NEAR), (-NEAR * way, NEAR)]
    far = [(AHEAD * way, AHEAD * 3 // 4), (-BEHIND * way, BEHIND * 3 // 4)]
    turning = [] if direction else [(BEHIND, BEHIND), (-BEHIND, BEHIND)]
    return near + turning + far
