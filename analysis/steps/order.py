"""Which footfalls contradict each other. The bench asks before an edit; a reading asks and goes on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analysis.values.errors import FootfallError
from analysis.values.run import Footfall, StartPush
from analysis.values.words import tr


@dataclass(frozen=True)
class Conflict:
    """Footfalls that can't all be true, by id, and the sentence that says so."""

    footfalls: frozenset[str]
    sentence: str


def in_order(footfalls: Sequence[Footfall]) -> list[Footfall]:
    """Confirmed footfalls that hold an event, by touchdown (by toe-off where that is all there is)."""
    return [f for f in _every_in_order(footfalls) if not f.draft]


def numbered(footfalls: Sequence[Footfall]) -> dict[str, int]:
    """The numbers of steps from 1 by id, in that order. Drafts have theirs too: those around them keep their
    own when one is confirmed.
    """
    return {f.id: number for number, f in enumerate(_every_in_order(footfalls), start=1)}


def _every_in_order(footfalls: Sequence[Footfall]) -> list[Footfall]:
    held = [f for f in footfalls if f.touchdown is not None or f.toe_off is not None]
    return sorted(held, key=lambda f: (f.first_frame, f.side, f.id))


def conflicts(footfalls: Sequence[Footfall]) -> list[Conflict]:
    """Every contradiction among confirmed footfalls, in order of time.

    A foot leaves the ground after it touched it; one foot can't touch down again before it left; two feet
    don't touch down on the same frame; and a foot that lands earlier leaves earlier.
    """
    kept = in_order(footfalls)
    found = [c for f in kept if (c := _backwards(f)) is not None]
    wrong = {f for c in found for f in c.footfalls}
    sound = [f for f in kept if f.id not in wrong]
    for place, first in enumerate(sound):
        for second in sound[place + 1 :]:
            conflict = _pair(first, second)
            if conflict is not None:
                found.append(conflict)
    return found


def check_footfalls(footfalls: Sequence[Footfall]) -> None:
    """Raise FootfallError, with a sentence, where footfalls contradict each other."""
    for conflict in conflicts(footfalls):
        raise FootfallError(conflict.sentence)


def start_conflict(start: StartPush, footfalls: Sequence[Footfall] = ()) -> str | None:
    """The sentence that says why the start push can't be so, or None."""
    start = start.confirmed
    movement, rear, front = start.first_movement, start.rear_toe_off, start.front_toe_off
    if movement is not None and any(off is not None and off <= movement for off in (rear, front)):
        return tr(
            "The start push ends before it begins: the first movement must come before both toe-offs. Retag "
            "it."
        )
    if rear is not None and front is not None and front < rear:
        return tr(
            "The front foot leaves the ground before the rear foot. Swap the two toe-offs or retag them."
        )
    touchdowns = [f.touchdown for f in in_order(footfalls) if f.touchdown is not None]
    if touchdowns and movement is not None and movement >= touchdowns[0]:
        return tr("The first touchdown comes before the first movement. Retag one of the two.")
    if touchdowns and rear is not None and rear >= touchdowns[0]:
        return tr("The first touchdown comes before the rear foot has left the ground. Retag one of the two.")
    return None


def check_start(start: StartPush, footfalls: Sequence[Footfall] = ()) -> None:
    """Raise FootfallError, with a sentence, where the events of the start contradict each other."""
    sentence = start_conflict(start, footfalls)
    if sentence is not None:
        raise FootfallError(sentence)


def _backwards(footfall: Footfall) -> Conflict | None:
    down, off = footfall.touchdown, footfall.toe_off
    if down is None or off is None or off > down:
        return None
    sentence = tr(
        "The {side} foot's toe-off on frame {off} does not come after its touchdown on frame {down}. Retag "
        "one of them."
    ).format(side=tr(footfall.side.value), off=off, down=down)
    return Conflict(frozenset({footfall.id}), sentence)


def _pair(first: Footfall, second: Footfall) -> Conflict | None:
    """``first`` begins no later than ``second``."""
    both = frozenset({first.id, second.id})
    if first.touchdown is None or second.touchdown is None:
        return _pair_without_touchdown(first, second)
    if first.touchdown == second.touchdown:
        return Conflict(
            both,
            tr("Two touchdowns stand on frame {frame}. Delete one of them or retag it.").format(
                frame=first.touchdown
            ),
        )
    if first.toe_off is None:
        return None
    if first.side is second.side and second.touchdown <= first.toe_off:
        return Conflict(
            both,
            tr(
                "Two contacts of the {side} foot overlap: it lands on frame {down} before it has left the "
                "ground on frame {off}. Retag them, or set the other foot."
            ).format(side=tr(first.side.value), down=second.touchdown, off=first.toe_off),
        )
    if second.toe_off is not None and second.toe_off <= first.toe_off:
        return Conflict(
            both,
            tr(
                "Footfalls out of order: the foot that lands on frame {early} leaves the ground after the "
                "one that lands on frame {late}. Retag them."
            ).format(early=first.touchdown, late=second.touchdown),
        )
    return None


def _pair_without_touchdown(first: Footfall, second: Footfall) -> Conflict | None:
    """A toe-off whose touchdown the film does not show can't stand within a contact of the same foot."""
    lone, other = (first, second) if first.touchdown is None else (second, first)
    if lone.side is not other.side or lone.toe_off is None:
        return None
    begin = other.toe_off if other.touchdown is None else other.touchdown
    end = other.toe_off
    if begin is None or lone.toe_off < begin or (end is not None and lone.toe_off > end):
        return None
    return Conflict(
        frozenset({first.id, second.id}),
        tr(
            "The {side} foot leaves the ground on frame {off} while another of its contacts goes on. Delete "
            "one of them, or set the other foot."
        ).format(side=tr(lone.side.value), off=lone.toe_off),
    )
