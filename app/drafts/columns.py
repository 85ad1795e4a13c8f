"""Where on the ground strip the contacts of a run stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from analysis.jobs.drafted import Proposal, StripPicture
from analysis.values.run import Footfall, Run

_SAME = 0.5  # of the shorter one, so much of which two contacts share where they are one


def tip_columns(proposals: Sequence[Proposal], footfalls: Iterable[Footfall]) -> dict[str, float]:
    """The proposed tip of the shoe of each footfall that a proposal is about, by footfall."""
    found = {}
    for footfall in footfalls:
        nearest = max(proposals, key=lambda one: _shared(one, footfall), default=None)
        if nearest is not None and _shared(nearest, footfall) >= _SAME:
            found[footfall.id] = nearest.column
    return found


def columns_on(strip: StripPicture, proposals: Sequence[Proposal], run: Run) -> dict[str, float]:
    """Each contact's column: of its placed tip, of what was proposed, else where most stands meanwhile."""
    found = tip_columns(proposals, run.footfalls)
    for footfall in run.footfalls:
        down, up = footfall.touchdown, footfall.toe_off
        if down is None:
            continue
        tip = run.point(down, f"{footfall.side.value}_toe")
        if tip is not None:
            found[footfall.id] = strip.column(down, tip.u, tip.v)
        elif footfall.id not in found and up is not None:
            found[footfall.id] = strip.standing_column(down, up)
    return found


def _shared(one: Proposal, footfall: Footfall) -> float:
    """Share of the shorter contact that both have in common; an end not known is that of the other."""
    ends = (one.touchdown, one.toe_off), (footfall.touchdown, footfall.toe_off)
    begins = [int(begin) for begin, _ in ends if begin is not None]
    stops = [int(stop) for _, stop in ends if stop is not None]
    if not begins or not stops:
        return 0.0
    lasts = [int(stop) - int(begin) for begin, stop in ends if begin is not None and stop is not None]
    return (min(stops) - max(begins)) / max(1, min(lasts, default=1))
