"""A whole body on one frame: in which order its points are asked for, and what can be proposed for them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from itertools import pairwise

from analysis.values.command import Change, Command, Kind, command
from analysis.values.errors import PointError
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Run, Side
from analysis.values.tracks import Tracks
from analysis.values.words import tr
from app.marking.placing import near_side

Place = tuple[float, float]

GUESS_ERROR_PX = 6.0
"""Standard uncertainty of a proposed point along each axis, px, at the least; one that is taken is stored
with it (own assumption)."""

STRAY_MIRRORED = {
    "shoulder": 0.2, "elbow": 0.25, "wrist": 0.25,
    "hip": 0.1, "knee": 1.0, "ankle": 1.6, "heel": 1.6, "toe": 1.9,
}  # fmt: skip
"""How far parts of a far side lie from the near one's mirror, in trunk lengths, RMS along an axis; measured
at events of rendered runs (tests/bench/bench_guesses.py)."""

STRAY_BY_STRIDE = {"elbow": 0.25, "wrist": 0.25, "knee": 0.2, "ankle": 0.25, "heel": 0.25, "toe": 0.25}
"""The same from where the near side lies half a stride away: twice what is measured there, of a figure whose
sides move alike."""

_ASKED = ("head", "neck", "shoulder", "elbow", "wrist", "mid_back", "hip", "knee", "ankle", "heel", "toe")
_CENTRE = ("head", "neck", "mid_back")
_CHAINS = (("shoulder", "elbow", "wrist"), ("hip", "knee", "ankle", "heel"), ("hip", "knee", "ankle", "toe"))


def asking_order(near: Side) -> tuple[str, ...]:
    """The 19 points as a walk asks for them: middle and near side from the head down, then the far side."""
    first = tuple(name if name in _CENTRE else f"{near.value}_{name}" for name in _ASKED)
    return first + tuple(f"{near.other.value}_{name}" for name in _ASKED if name not in _CENTRE)


def last_marked(run: Run, frame: int) -> int | None:
    """The marked frame before this one, else the first one after it: where most points can be copied from."""
    frames = sorted({int(p.frame) for p in run.points if p.frame != frame})
    before = [f for f in frames if f < frame]
    return before[-1] if before else (frames[0] if frames else None)


def marked_beside(run: Run, frame: int) -> tuple[int, ...]:
    """The two marked frames before this one that lie nearest, else the two after it; the nearest first. Fewer
    where there are fewer.
    """
    frames = sorted({int(p.frame) for p in run.points if p.frame != frame})
    before, after = [f for f in frames if f < frame], [f for f in frames if f > frame]
    return tuple(before[:-3:-1] or after[:2])


def likely_place(run: Run, tracks: Tracks | None, frame: int, name: str) -> Place | None:
    """Where a point may lie on a frame: where it is, or was followed to; else as it lay on the nearest frame
    that holds it, shifted as the other points went; else beside a point that is placed here or on the last
    marked frame. None without any.
    """
    here = _on(run, frame)
    if name in here:
        return here[name]
    followed = tracks.point(frame, name) if tracks is not None else None
    if followed is not None:
        return followed.u, followed.v
    frames = [int(p.frame) for p in run.points if p.name == name]
    if not frames:
        other = last_marked(run, frame)
        around = here or (_on(run, other) if other is not None else {})
        return next(reversed(around.values()), None)
    there = _on(run, min(frames, key=lambda f: abs(f - frame)))
    across, down = _gone(there, here)
    return there[name][0] + across, there[name][1] + down


def copies(run: Run, frame: int) -> tuple[BodyPoint, ...]:
    """The points of the last marked frame that are missing here, shifted as those moved that are on both.

    Raises PointError where no other frame is marked.
    """
    other = last_marked(run, frame)
    if other is None:
        raise PointError(tr("No other frame has points. Place them on this one first."))
    here = _on(run, frame)
    there = _on(run, other)
    across, down = _gone(there, here)
    return tuple(_guess(frame, n, (u + across, v + down)) for n, (u, v) in there.items() if n not in here)


def far_guesses(run: Run, frame: int) -> tuple[BodyPoint, ...]:
    """The far side from the near one: shoulder and hip in the same place; limbs as the near side's lie at the
    same event of the other foot, where they are placed there, else swung as far to the other side of the
    trunk, joints bent as much. Only points that are missing, each with the error that its guess is known to
    have.

    Raises PointError where the near side gives nothing to guess from.
    """
    near = near_side(run)
    here = _on(run, frame)
    mine = _of_side(here, near)
    trunk_px = math.dist(mine["shoulder"], mine["hip"]) if {"shoulder", "hip"} <= mine.keys() else 0.0
    found: dict[str, Place] = {}
    axis = _trunk_direction(here, mine)
    for chain in _CHAINS:
        _swing(chain, mine, axis, found)
    half_a_stride = _half_a_stride_away(run, frame, mine, near)
    new = []
    for part, place in (found | half_a_stride).items():
        name = f"{near.other.value}_{part}"
        shares = STRAY_BY_STRIDE if part in half_a_stride else STRAY_MIRRORED
        if name not in here:
            new.append(_guess(frame, name, place, max(GUESS_ERROR_PX, shares[part] * trunk_px)))
    if not new:
        raise PointError(
            tr("Nothing to guess: place shoulder, hip and the limbs of the near side on this frame first.")
        )
    return tuple(new)


def knows_the_other_stride(run: Run, frame: int) -> bool:
    """Whether a far side can be guessed from where the near one lies at the same event of the other foot."""
    near = near_side(run)
    return "knee" in _half_a_stride_away(run, frame, _of_side(_on(run, frame), near), near)


def take(run: Run, points: Iterable[BodyPoint]) -> Command:
    """Proposed points become placed ones, with the error of a guess, in one edit."""
    new = [p for p in points if run.point(p.frame, p.name) is None]
    return command(tr("Take the guesses"), (Change(Kind.POINT, p.id, None, p, run.id) for p in new))


def _on(run: Run, frame: int) -> dict[str, Place]:
    return {p.name: (p.u, p.v) for p in run.points if p.frame == frame}


def _gone(there: Mapping[str, Place], here: Mapping[str, Place]) -> Place:
    """How far the points that are on both frames have gone, in the mean."""
    both = [n for n in there if n in here]
    if not both:
        return 0.0, 0.0
    across, down = (sum(here[n][axis] - there[n][axis] for n in both) / len(both) for axis in (0, 1))
    return across, down


def _of_side(here: Mapping[str, Place], side: Side) -> dict[str, Place]:
    return {n.partition("_")[2]: p for n, p in here.items() if n.startswith(f"{side.value}_")}


def _half_a_stride_away(run: Run, frame: int, mine: Mapping[str, Place], near: Side) -> dict[str, Place]:
    """Limbs of the far side as those of the near one lie at the nearest same event of the other foot, from
    shoulder and hip of this frame, as large as the trunk here.
    """
    same = sorted(_same_events(run, frame), key=lambda other: abs(other - frame))
    for there in (_of_side(_on(run, other), near) for other in same):
        found: dict[str, Place] = {}
        if not {"shoulder", "hip"} <= there.keys() & mine.keys():
            continue
        grown = math.dist(mine["shoulder"], mine["hip"]) / max(
            1.0, math.dist(there["shoulder"], there["hip"])
        )
        for root, *limb in _CHAINS:
            for part in limb:
                if part in there:
                    found[part] = (
                        mine[root][0] + grown * (there[part][0] - there[root][0]),
                        mine[root][1] + grown * (there[part][1] - there[root][1]),
                    )
        if found:
            return found
    return {}


def _same_events(run: Run, frame: int) -> set[int]:
    """Frames on which the other foot does what a foot does on this one."""
    downs = [(f.touchdown, f.side) for f in run.footfalls]
    offs = [*((f.toe_off, f.side) for f in run.footfalls), (run.start.front_toe_off, run.start.front_side)]
    found: set[int] = set()
    for events in (downs, offs):
        sides = {side.other for event, side in events if event == frame and side is not None}
        found |= {int(event) for event, side in events if event is not None and side in sides}
    return found


def _guess(frame: int, name: str, place: Place, error_px: float = GUESS_ERROR_PX) -> BodyPoint:
    return BodyPoint(FrameNumber(frame), name, place[0], place[1], error_px)


def _trunk_direction(here: Mapping[str, Place], mine: Mapping[str, Place]) -> float:
    """The direction from the hips upwards in the picture, rad; upright where the trunk is not known."""
    top = here.get("neck") or mine.get("shoulder")
    hip = mine.get("hip")
    if top is None or hip is None or top == hip:
        return -math.pi / 2
    return math.atan2(top[1] - hip[1], top[0] - hip[0])


def _swing(chain: tuple[str, ...], mine: Mapping[str, Place], axis: float, found: dict[str, Place]) -> None:
    """Lay out a limb from its joint at the trunk: its first segment mirrored at the trunk, each further one
    bent against the one before as on the near side.
    """
    if chain[0] not in mine:
        return
    u, v = found.setdefault(chain[0], mine[chain[0]])
    own = mirrored = 0.0
    for number, (one, other) in enumerate(pairwise(chain)):
        if one not in mine or other not in mine:
            return
        du, dv = mine[other][0] - mine[one][0], mine[other][1] - mine[one][1]
        angle = math.atan2(dv, du)
        mirrored = 2 * axis - angle if number == 0 else mirrored + (angle - own)
        own = angle
        length = math.hypot(du, dv)
        u, v = u + length * math.cos(mirrored), v + length * math.sin(mirrored)
        found[other] = u, v
