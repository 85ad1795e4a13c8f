"""What drafting a film gives: proposed contacts, the start push, the ground strip, and what is said."""

from __future__ import annotations

from dataclasses import dataclass, field

from analysis.derive.footfalls.strip import GroundStrip
from analysis.values.film import FrameNumber
from analysis.values.run import Direction, Side, StartPush


@dataclass(frozen=True)
class DraftFootfall:
    """A proposed contact. ``touchdown``, ``toe_off``: frames, None where the film or the picture begins or
    ends within the contact. ``u``, ``v``: the shoe's tip in the frame ``seen_at``, px. ``x_m``: along the
    line, None without marks. ``confidence``: 0 to 1, that its events are within two frames at 240 a second,
    or one where frames are farther apart.
    """

    side: Side
    touchdown: FrameNumber | None
    toe_off: FrameNumber | None
    seen_at: FrameNumber
    u: float
    v: float
    x_m: float | None
    confidence: float


@dataclass(frozen=True, eq=False)
class Draft:
    """``notes``: sentences for the coach about what was and was not found. ``strip``: the ground strip, None
    where there is none. ``direction``: of the run, None where nobody runs.
    """

    footfalls: tuple[DraftFootfall, ...] = ()
    start: StartPush = field(default_factory=StartPush)
    direction: Direction | None = None
    notes: tuple[str, ...] = field(default=())
    strip: GroundStrip | None = None
