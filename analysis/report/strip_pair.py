"""The posture strips of two runs one above the other: matched event by event, at one scale."""

from __future__ import annotations

from dataclasses import dataclass, field

from analysis.reading.lock import EventKind, Moment
from analysis.report.posture_strip import PostureStrip, StripFrame, StripParts, strip_parts
from analysis.values.evidence import Evidence
from analysis.values.reading import Reading

Whose = tuple[Evidence, Reading]

_ORDER = (EventKind.FIRST_MOVEMENT, EventKind.REAR_TOE_OFF, EventKind.FRONT_TOE_OFF)


@dataclass(frozen=True)
class StripColumn:
    """One event: the frame of either run on which it is tagged; None where a run has no such frame."""

    moment: Moment
    upper: StripFrame | None
    lower: StripFrame | None


@dataclass(frozen=True)
class StripPair:
    """``upper``, ``lower``: the two strips. ``one_scale``: every frame of both shows the same metres, or,
    without marks in either, as much of the athlete. ``mirrored``: the lower run goes the other way across its
    film, so that its frames are shown mirrored.
    """

    columns: tuple[StripColumn, ...] = ()
    upper: PostureStrip = field(default_factory=PostureStrip)
    lower: PostureStrip = field(default_factory=PostureStrip)
    one_scale: bool = False
    mirrored: bool = False

    @property
    def shape(self) -> float:
        """Width over height of the widest frame."""
        return max(self.upper.shape, self.lower.shape)


def strip_pair(upper: Whose, lower: Whose) -> StripPair:
    """Both strips. An event that only one of the runs shows has a column too, with a gap."""
    parts = strip_parts(*upper), strip_parts(*lower)
    one, two = parts
    one_scale = False
    if isinstance(one, StripParts) and isinstance(two, StripParts):
        one_scale = one.in_metres is two.in_metres
        reach = one.reach.or_more(two.reach)  # also without one scale: frames of one shape
        first, second = one.strip(reach), two.strip(reach)
    else:
        first, second = (p.strip(p.reach) if isinstance(p, StripParts) else p for p in parts)
    above = {frame.moment: frame for frame in first.frames}
    below = {frame.moment: frame for frame in second.frames}
    moments = sorted(above.keys() | below.keys(), key=_in_order)
    columns = tuple(StripColumn(moment, above.get(moment), below.get(moment)) for moment in moments)
    mirrored = upper[0].run.direction is not lower[0].run.direction
    return StripPair(columns, first, second, one_scale, mirrored)


def _in_order(moment: Moment) -> tuple[int, int]:
    """As the events come in a run."""
    if moment.kind in _ORDER:
        return 0, _ORDER.index(moment.kind)
    return moment.step, int(moment.kind is EventKind.TOE_OFF)
