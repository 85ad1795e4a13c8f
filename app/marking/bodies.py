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
"""Standard uncertainty of a proposed point along each axis, px; one that is taken is stored with it (own
assumption)."""

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
    """The far side from the near one: shoulder and hip in the same place, limbs swung as far to the other
    side of the trunk, joints bent as much. Only points that are missing.

    Raises PointError where the near side gives nothing to guess from.
    """
    near = near_side(run)
    here = _on(run, frame)
    mine = {n.partition("_")[2]: p for n, p in here.items() if n.startswith(f"{near.value}_")}
    found: dict[str, Place] = {}
    axis = _trunk_direction(here, mine)
    for chain in _CHAINS:
        _swing(chain, mine, axis, found)
    guessed = {f"{near.other.value}_{part}": place for part, place in found.items()}
    new = tuple(_guess(frame, n, p) for n, p in guessed.items() if n not in here)
    if not new:
        raise PointError(
            tr("Nothing to guess: place shoulder, hip and the limbs of the near side on this frame first.")
        )
    return new


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


def _guess(frame: int, name: str, place: Place) -> BodyPoint:
    return BodyPoint(FrameNumber(frame), name, place[0], place[1], GUESS_ERROR_PX)


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
