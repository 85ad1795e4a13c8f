"""What the coach is told about a file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from statistics import median_low

from analysis.film.spacing import UNEVEN, gap_note, two_rates_note
from analysis.values.film import Film, IndexEntry
from analysis.values.words import listed, tr, tr_count

_SOUND_LONGER_S = 0.5


@dataclass(frozen=True)
class Losses:
    """What of a file is not shown.

    ``before_first``: frames listed before the first that decodes; ``doubles``: frames with another's
    time; ``untimed``: frames without a time; ``end_is_missing``: the file was cut off;
    ``end_in_doubt``: frames at the end of which it
    can't be told whether all of them is there; ``short_of_s``: when the pictures end and when they
    should by the head of the file; ``end_unsaid``: files of its kind don't say where they end.
    ``slanted``: a turn by no quarter that is not followed. ``damaged``: frames within the film of which
    data is missing; ``beside``: moving pictures of about as many frames. ``cut_before``: frames before which
    an editor left out a part, or put one that was elsewhere.
    """

    before_first: int
    doubles: int
    untimed: int
    end_is_missing: bool
    end_in_doubt: int
    short_of_s: tuple[float, float] | None
    end_unsaid: bool
    slanted: bool
    damaged: Sequence[int]
    beside: int
    cut_before: Sequence[int] = ()


def short_of(
    index: Sequence[IndexEntry], time_base: Fraction, said_s: float | None, *, has_sound: bool
) -> tuple[float, float] | None:
    """When the pictures end and when they should, s of playing, where they end too early; None else.

    ``said_s``: when they should by the head of the file. Sound may go on a little longer than the pictures,
    and the last picture of a film whose rate varies may stand as long as any.
    """
    if said_s is None or len(index) < 2:
        return None
    steps = [later.pts - earlier.pts for earlier, later in pairwise(index)]
    ordinary, longest = median_low(steps), max(steps)
    ends_s = float((index[-1].pts + ordinary) * time_base)
    room_s = float((longest if longest > UNEVEN * ordinary else ordinary / 2) * time_base)
    if has_sound:
        room_s = max(room_s, _SOUND_LONGER_S)
    return (ends_s, said_s) if said_s - ends_s > room_s else None


def notes_on(film: Film, losses: Losses) -> list[str]:
    """Sentences on a film, the rate of filming apart."""
    notes = []
    if rates := two_rates_note(film.facts.times):
        notes.append(rates)
    if gap := gap_note(film.facts.times):
        notes.append(gap)
    notes += _left_out(film, losses)
    if losses.cut_before:
        notes.append(
            tr(
                "The film was cut before frame {frames}: times on either side of it can't be held against "
                "each other. Open the file that the camera wrote."
            ).format(frames=listed([str(frame) for frame in losses.cut_before]))
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
    elif losses.end_in_doubt:
        words = tr_count(
            "The end of the file may be missing: its last picture may go on behind it, and is left out. "
            "The film can be used up to frame {last}. Where more should come, copy it again.",
            "The end of the file may be missing: its last picture may go on behind it, and {count} pictures "
            "are left out. "
            "The film can be used up to frame {last}. Where more should come, copy it again.",
            losses.end_in_doubt,
        )
        notes.append(words.format(count=losses.end_in_doubt, last=film.frames - 1))
    elif losses.short_of_s is not None:
        notes.append(
            tr(
                "The file says that it plays for {said:.1f} s, but its pictures end after {ends:.1f} s: it "
                "can be used up to frame {last}. Copy it from the phone again."
            ).format(said=losses.short_of_s[1], ends=losses.short_of_s[0], last=film.frames - 1)
        )
    elif losses.end_unsaid:
        notes.append(
            tr(
                "Files of this kind don't say where they end. The film can be used up to frame {last}: where "
                "more should come, copy it again."
            ).format(last=film.frames - 1)
        )
    return notes


def _left_out(film: Film, losses: Losses) -> list[str]:
    """Sentences on pictures that the file holds and that are not shown."""
    notes = []
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
    if losses.beside:
        notes.append(
            tr(
                "The file holds more than one moving picture; the largest, {width} × {height}, is read."
            ).format(width=film.shown_size[0], height=film.shown_size[1])
        )
    if losses.damaged:
        notes.append(
            tr_count(
                "{count} picture is damaged, frame {first}: it and what follows it up to the next key frame "
                "can't be shown. Copy the film from the phone again.",
                "{count} pictures are damaged, the first is frame {first}: they and what follows each up to "
                "the next key frame can't be shown. Copy the film from the phone again.",
                len(losses.damaged),
            ).format(count=len(losses.damaged), first=losses.damaged[0])
        )
    if losses.untimed:
        notes.append(
            tr_count(
                "{count} frame has no time in the file and is left out.",
                "{count} frames have no time in the file and are left out.",
                losses.untimed,
            ).format(count=losses.untimed)
        )
    return notes
