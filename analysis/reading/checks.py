"""What is doubtful about placed and followed points, and what a reading says of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.body.leg_checks import changed_over_at_events, looks_back, shoes_reversed
from analysis.body.point_checks import changed_over, length_doubts, off_picture
from analysis.body.slips import LEG_POINTS, slips
from analysis.reading.placed_points import placed_points
from analysis.reading.stages import stage
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber
from analysis.values.point_names import point_words
from analysis.values.posture import PointDoubt
from analysis.values.run import BodyPoint, Direction, Footfall, StartPush
from analysis.values.tracks import Standing, Tracks
from analysis.values.words import tr

MOST_SAID = 6
"""So many doubts about placed points are said in full; the rest are counted."""
OFTEN = 0.02
"""Points guessed on fewer of their frames are not named."""


@dataclass(frozen=True)
class CheckedPoints:
    """``points``: those that are read. ``doubts``: in order of frame. ``wrong_legs``: frames on which legs
    seem to be changed over or a leg has a length that it can't have.
    """

    points: tuple[BodyPoint, ...]
    doubts: tuple[PointDoubt, ...]
    wrong_legs: frozenset[FrameNumber]


@stage
def checked_points(
    points: tuple[BodyPoint, ...],
    footfalls: tuple[Footfall, ...],
    start: StartPush,
    direction: Direction,
    film: FilmFacts,
) -> CheckedPoints:
    """Placed points without those off the picture, and what speaks against them."""
    off = off_picture(points, film.width, film.height)
    lost = {(d.frame, d.name) for d in off}
    kept = tuple([p for p in points if (p.frame, p.name) not in lost]) if lost else points
    rows = placed_points(kept, film.frames).rows
    seconds = film.times.seconds
    lengths = length_doubts(rows, seconds)
    back = looks_back(rows, direction)
    at_events = changed_over_at_events(rows, footfalls, start, None if back else direction, seconds)
    named = {d.frame for d in at_events}
    mixed = [*(d for d in changed_over(rows, seconds) if d.frame not in named), *at_events]
    shoes = [] if back else shoes_reversed(rows, footfalls, start, direction)
    told = {d.sentence: d for d in reversed(mixed)}  # what is so all through is looked at once
    found = [*off, *lengths, *told.values(), *back, *shoes]
    legs = (d for d in lengths if d.name.endswith(LEG_POINTS))
    wrong = frozenset(d.frame for d in (*mixed, *legs, *shoes))
    return CheckedPoints(kept, tuple(sorted(found, key=lambda d: (d.frame, d.name))), wrong)


@stage
def slipped(
    tracks: Tracks | None, footfalls: tuple[Footfall, ...], film: FilmFacts
) -> tuple[PointDoubt, ...]:
    """Where followed points may have slipped from which something is read."""
    return () if tracks is None else tuple(slips(tracks, footfalls, film.times.seconds))


def point_notes(evidence: Evidence, doubts: tuple[PointDoubt, ...]) -> list[str]:
    """All of it in sentences."""
    placed = list(dict.fromkeys(d.sentence for d in doubts if not d.followed))
    notes = placed[:MOST_SAID]
    if len(placed) > MOST_SAID:
        notes.append(tr("{count} more placed points look doubtful.").format(count=len(placed) - MOST_SAID))
    if evidence.outdated_tracks:
        notes.append(
            tr(
                "Points were followed once, but the film, the direction of the run or the camera's way are "
                "others by now: only placed points count. Follow the points again."
            )
        )
    if evidence.tracks is not None:
        notes += _tracks_notes(evidence.tracks, sum(d.followed for d in doubts))
    return notes


def _tracks_notes(tracks: Tracks, slip_count: int) -> list[str]:
    notes = []
    if tracks.behind:
        listed = ", ".join(map(str, tracks.behind))
        words = tr(
            "Points changed on frames {frames} since they were followed: around these only placed ones count."
        )
        notes.append(words.format(frames=listed))
    if slip_count:
        words = tr(
            "Followed points may have slipped in {count} places between placed frames. Look at them; their "
            "spread is in the intervals, a slip that does not show is not."
        )
        notes.append(words.format(count=slip_count))
    hidden = _guessed(tracks)
    if hidden:
        notes.append(
            tr("Guessed, since hidden behind the body or lost from sight: {points}.").format(points=hidden)
        )
    return notes


@stage
def _guessed(tracks: Tracks) -> str:
    """The points that are guesses, with the share of their frames."""
    known = np.count_nonzero(tracks.standing != int(Standing.NONE), axis=0)
    guesses = np.count_nonzero(tracks.standing == int(Standing.GUESSED), axis=0)
    words = tr("{name} on {share} % of frames")
    named = [
        words.format(name=point_words(name), share=round(100 * guesses[n] / known[n]))
        for n, name in enumerate(tracks.names)
        if known[n] and guesses[n] > OFTEN * known[n]
    ]
    return ", ".join(named)
