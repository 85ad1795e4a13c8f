"""What the coach is told about a file."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.film.spacing import gap_note
from analysis.values.film import Film
from analysis.values.words import tr, tr_count


@dataclass(frozen=True)
class Losses:
    """What of a file is not shown.

    ``before_first``: frames listed before the first that decodes; ``doubles``: frames with another's time;
    ``untimed``: frames without a time; ``end_is_missing``: the file was cut off; ``slanted``: a turn by no
    quarter that is not followed.
    """

    before_first: int
    doubles: int
    untimed: int
    end_is_missing: bool
    slanted: bool


def notes_on(film: Film, losses: Losses) -> list[str]:
    """Sentences on a film, the rate of filming apart."""
    notes = []
    if gap := gap_note(film.facts.times):
        notes.append(gap)
    if losses.before_first:
        notes.append(
            tr_count(
                "{count} frame at the beginning can't be shown: the film was cut there.",
                "{count} frames at the beginning can't be shown: the film was cut there.",
                losses.before_first,
            ).format(count=losses.before_first)
        )
    if losses.doubles:
        notes.append(
            tr_count(
                "{count} frame has the time of another and is left out.",
                "{count} frames have the time of another and are left out.",
                losses.doubles,
            ).format(count=losses.doubles)
        )
    if losses.untimed:
        notes.append(
            tr_count(
                "{count} frame has no time in the file and is left out.",
                "{count} frames have no time in the file and are left out.",
                losses.untimed,
            ).format(count=losses.untimed)
        )
    if film.counted:
        notes.append(
            tr(
                "The file doesn't say when each picture is shown, so jumping about in it is slow. "
                "An MP4 film would be quicker."
            )
        )
    if losses.slanted:
        notes.append(tr("The file asks for a slanted picture; it is shown upright."))
    if losses.end_is_missing:
        notes.append(
            tr(
                "The end of the file is missing: it can be used up to frame {last}. "
                "Copy it from the phone again."
            ).format(last=film.frames - 1)
        )
    return notes
