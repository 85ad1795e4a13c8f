"""Drafting footfalls in a process of its own, at the lowest priority, beside whatever else goes on."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.jobs.child import ChildJob, Excuses, Wish, lens_wish, serve
from analysis.jobs.draft_wish import DraftWish
from analysis.jobs.drafted import Drafted, Proposal, StripPicture, read_drafted, write_drafted
from analysis.values.run import Direction, GroundMark, Side
from analysis.values.words import tr

if TYPE_CHECKING:
    from analysis.derive.footfalls import Draft
    from analysis.derive.footfalls.strip import GroundStrip


class DraftingJob(ChildJob[Drafted]):
    """Proposes every footfall of a film."""

    def __init__(self, wish: DraftWish) -> None:
        excuses = Excuses(
            tr("Footfalls are still being looked for."),
            tr("Looking for footfalls was stopped."),
            tr("Footfalls could not be drafted: the work beside ended before its time. Try again."),
        )
        super().__init__("drafted.npz", excuses)
        self._start(
            "analysis.jobs.drafting",
            wish.film,
            wish.coach_rate_hz,
            wish.every,
            marks=[asdict(mark) for mark in wish.marks],
            camera=self._camera_wish(wish.camera),
            direction=None if wish.direction is None else wish.direction.value,
            first_side=wish.first_side.value,
            lens=lens_wish(wish.lens),
        )

    def _read(self, found: Path) -> Drafted:
        return read_drafted(found)


def _draft(wish: Wish) -> None:
    """The child's work: draft, and write what was found."""
    from analysis.derive.footfalls import draft_footfalls

    what = wish.what
    draft = draft_footfalls(
        wish.film(),
        [GroundMark(**mark) for mark in what["marks"]],
        None if what["direction"] is None else Direction(what["direction"]),
        wish.camera(),
        progress=wish.say,
        stopped=wish.orphaned,
        first_side=Side(what["first_side"]),
        lens=wish.lens(),
        threads=1,
    )
    write_drafted(drafted_from(draft), wish.found)
    wish.say(1.0)


def drafted_from(draft: Draft) -> Drafted:
    """A draft as those take it who show it."""
    if draft.strip is None:
        return Drafted((), draft.start, draft.direction, draft.notes)
    strip = picture_of(draft.strip)
    proposals = tuple(
        Proposal(
            one.side, one.touchdown, one.toe_off, strip.column(one.seen_at, one.u, one.v), one.confidence
        )
        for one in draft.footfalls
    )
    return Drafted(proposals, draft.start, draft.direction, draft.notes, strip)


def picture_of(strip: GroundStrip) -> StripPicture:
    """What of a ground strip is shown."""
    place, left = strip.band.place, float(strip.canvas.left)
    slope = place.slope + strip.feet[0]
    offset = place.v(left) + strip.feet[1] - place.above
    return StripPicture(strip.picture, left, slope, offset, strip.canvas.maps)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _draft))
