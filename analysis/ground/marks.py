"""Which marks can be used together, and what kind of map they allow."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from enum import IntEnum
from itertools import chain, combinations

import numpy as np

from analysis.values.errors import MarkError
from analysis.values.run import GroundMark
from analysis.values.words import signed, tr

SAME_PLACE_M = 1e-6
SAME_PIXEL = 0.5
FLAT = 0.02
"""Three places count as in a line where the triangle's height is under this share of its longest side."""


class MapKind(IntEnum):
    """What the marks allow: one scale, a projective map along the line, or the whole vertical plane."""

    SCALE = 1
    LINE = 2
    PLANE = 3


def check_marks(marks: Sequence[GroundMark]) -> None:
    """Raise MarkError, with a sentence, where marks can't be used together.

    Not finite; two marks of one frame at the same place in metres, or on the same pixel.
    """
    sentence = mark_conflict(marks)
    if sentence is not None:
        raise MarkError(sentence)


def mark_conflict(marks: Sequence[GroundMark]) -> str | None:
    """The sentence that says why these marks contradict each other, or None."""
    faults = map(_fault, marks)
    conflicts = (_conflict(one, other) for one, other in combinations(marks, 2))
    return next((sentence for sentence in chain(faults, conflicts) if sentence is not None), None)


def _fault(mark: GroundMark) -> str | None:
    """What is wrong with a mark by itself."""
    if not math.isfinite(mark.x_m + mark.y_m + mark.z_m + mark.u + mark.v):
        return tr("A mark has no proper place: its distance or its pixel is not a number. Set it again.")
    if not (math.isfinite(mark.error_px) and mark.error_px > 0):
        return tr("The mark at {name} has no error in pixels above 0. Set one.").format(name=mark_name(mark))
    if not (math.isfinite(mark.error_m) and mark.error_m >= 0):
        return tr("The error of the distance of the mark at {name} is below 0. Set it again.").format(
            name=mark_name(mark)
        )
    return None


def _conflict(one: GroundMark, other: GroundMark) -> str | None:
    """Why two marks can't both be right."""
    if one.frame != other.frame:
        return None
    if math.dist(_place(one), _place(other)) < SAME_PLACE_M:
        return tr("Two marks stand at {name}. Delete one of them or give it its own distance.").format(
            name=mark_name(one)
        )
    if math.hypot(one.u - other.u, one.v - other.v) < SAME_PIXEL:
        return tr(
            "The marks at {one} and {other} stand on the same place in the picture. Move one of them."
        ).format(one=mark_name(one), other=mark_name(other))
    return None


def sound_marks(marks: Sequence[GroundMark]) -> tuple[list[GroundMark], list[str]]:
    """The marks that contradict none of the others, and a sentence for what each of the others has wrong."""
    left_out: set[str] = set()
    faults = [_fault(mark) for mark in marks]
    said = [fault for fault in faults if fault is not None]
    good = [mark for mark, fault in zip(marks, faults, strict=True) if fault is None]
    for pair in combinations(good, 2):
        conflict = _conflict(*pair)
        if conflict is not None:
            said.append(conflict)
            left_out |= {mark.id for mark in pair}
    return [mark for mark in good if mark.id not in left_out], list(dict.fromkeys(said))


def _place(mark: GroundMark) -> tuple[float, float, float]:
    return mark.x_m, mark.y_m, mark.z_m


def on_the_line(marks: Sequence[GroundMark]) -> list[GroundMark]:
    """The marks in the upright plane of the running line, not beside it."""
    return [mark for mark in marks if abs(mark.z_m) < SAME_PLACE_M]


def mark_name(mark: GroundMark) -> str:
    """How a mark is called in a sentence: by its distance, and its height or side where it has one."""
    along = f"{signed(mark.x_m)} m"
    if abs(mark.z_m) >= SAME_PLACE_M:
        words = tr("{along}, {aside:g} m nearer") if mark.z_m > 0 else tr("{along}, {aside:g} m farther")
        along = words.format(along=along, aside=abs(mark.z_m))
    return (
        along
        if abs(mark.y_m) < SAME_PLACE_M
        else tr("{along}, {height} m high").format(along=along, height=signed(mark.y_m))
    )


def distinct(marks: Sequence[GroundMark]) -> list[GroundMark]:
    """One mark of every place in metres."""
    seen: dict[tuple[float, float, float], GroundMark] = {}
    for mark in marks:
        seen.setdefault((round(mark.x_m, 6), round(mark.y_m, 6), round(mark.z_m, 6)), mark)
    return list(seen.values())


_ENOUGH = 12
"""So few marks are all looked at, four by four; of more only the outermost ones."""


def spans_ground(marks: Sequence[GroundMark]) -> bool:
    """True where four marks stand on the ground on both sides of the line, with no three in a line."""
    flat = [m for m in marks if abs(m.y_m) < SAME_PLACE_M]
    sides = [m.z_m for m in flat]
    if len(flat) < 4 or min(sides) > 0 or max(sides) < 0 or max(sides) - min(sides) < SAME_PLACE_M:
        return False
    return spans_plane([replace(m, y_m=m.z_m, z_m=0.0) for m in flat])


def _outermost(places: list[GroundMark]) -> list[GroundMark]:
    """The marks farthest out in sixteen directions, of the plane and of the picture."""
    if len(places) <= _ENOUGH:
        return places
    angles = np.arange(8) * np.pi / 4
    ways = np.stack([np.cos(angles), np.sin(angles)])
    found: set[int] = set()
    for spread in ([(m.x_m, m.y_m) for m in places], [(m.u, m.v) for m in places]):
        found |= set(np.argmax(np.asarray(spread) @ ways, axis=0).tolist())
    return [place for number, place in enumerate(places) if number in found]


def spans_plane(marks: Sequence[GroundMark]) -> bool:
    """True where four marks stand with no three in a line, in metres and in the picture."""
    places = _outermost(distinct(marks))
    if len(places) < 4 or len({round(m.y_m, 6) for m in places}) < 2:
        return False
    metres = [(m.x_m, m.y_m) for m in places]
    pixels = [(m.u, m.v) for m in places]
    wide = {
        three: _wide(metres, three) and _wide(pixels, three) for three in combinations(range(len(places)), 3)
    }
    return any(
        all(wide[three] for three in combinations(four, 3)) for four in combinations(range(len(places)), 4)
    )


def line_marks(marks: Sequence[GroundMark]) -> list[GroundMark]:
    """The marks of one height that hold most distances, nearest the ground where two heights are equal."""
    heights = sorted({round(m.y_m, 6) for m in marks}, key=abs)
    groups = [[m for m in marks if round(m.y_m, 6) == height] for height in heights]
    return max(groups, key=lambda group: len({round(m.x_m, 6) for m in group}), default=[])


def _wide(places: Sequence[tuple[float, float]], three: tuple[int, ...]) -> bool:
    a, b, c = (places[one] for one in three)
    double_area = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    longest = max(math.dist(a, b), math.dist(b, c), math.dist(a, c))
    return bool(longest > 0 and double_area > FLAT * longest * longest)
