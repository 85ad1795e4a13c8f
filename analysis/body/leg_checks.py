"""Placed legs against the tagged events: which foot lands, which leaves the ground, which stands in front."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
import numpy.typing as npt

from analysis.ground.point_rows import PointRows, on_both
from analysis.values.film import FrameNumber
from analysis.values.posture import PointDoubt
from analysis.values.run import Direction, Footfall, Side, StartPush
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

SURE = 4.0
"""Legs are named where they lie the wrong way round by so many times the error (own assumption)."""
SET_S = 0.5
"""So long before the first movement the feet stand where they start from, s (own assumption)."""
FLAT = 0.8
"""A shoe on the ground spans this share of its length along the run; one that swings hangs with its tip below
the heel or behind it (own assumption)."""
_SHOE, _LEG, _FEET = ("toe", "ankle"), ("knee", "ankle", "toe"), ("ankle", "heel", "toe")

Looked = tuple[PointDoubt, bool]
"""What would be said of a frame that was looked at, and whether it is to be said."""


def changed_over_at_events(
    rows: Mapping[str, PointRows],
    footfalls: Sequence[Footfall],
    start: StartPush,
    direction: Direction | None,
    seconds: Floats,
) -> list[PointDoubt]:
    """Frames on which the legs lie the wrong way round for what is tagged there. At a touchdown the tip of
    the other shoe, or its ankle, is no lower than that of the foot that lands; at a toe-off the leg that
    leaves the ground is behind the other one; in the set position the front foot is in front. Where most
    frames are so, that is said in one sentence. ``direction``: None where it is in doubt itself; then
    touchdowns alone are looked at. ``seconds``: of the film's frames.
    """
    looked = list(_landings(rows, footfalls))
    if direction is not None:
        looked += _leavings(rows, footfalls, start, direction)
        looked += _standing(rows, footfalls, start, direction, seconds)
    found = [doubt for doubt, wrong in looked if wrong]
    if len(found) < 2 or 2 * len(found) <= len(looked):
        return found
    throughout = tr(
        "On {count} of {all} frames of the set position and of events the legs lie the wrong way round: left "
        "and right are changed over all through. Look at one of them: either the sides of the steps are "
        "wrong or those of the points."
    ).format(count=len(found), all=len(looked))
    return [doubt._replace(sentence=throughout) for doubt in found]


def looks_back(rows: Mapping[str, PointRows], direction: Direction) -> list[PointDoubt]:
    """Whether most flat shoes point against the run: then its direction is wrong, or heel and tip are."""
    flat = [shoe for side in Side for shoe in _shoes(rows, side, direction)]
    if len(flat) < 2 or np.median([along for _, along, _ in flat]) >= 0:
        return []
    sentence = tr(
        "The shoes point against the run. Look at the direction of the run, and whether heel and tip of the "
        "shoe are changed over."
    )
    first = FrameNumber(min(frame for frame, _, _ in flat))
    return [PointDoubt(first, f"{Side.LEFT.value}_toe", sentence)]


def shoes_reversed(
    rows: Mapping[str, PointRows], footfalls: Sequence[Footfall], start: StartPush, direction: Direction
) -> list[PointDoubt]:
    """Frames on which a shoe that stands flat on the ground points against the run."""
    words = tr("On frame {frame} the {side} shoe stands against the run: its heel and tip are changed over.")
    found = []
    for side in Side:
        stands = _stands(side, footfalls, start)
        for frame, along, u in _shoes(rows, side, direction):
            if along < -SURE * u and any(begin <= frame < end for begin, end in stands):
                sentence = words.format(frame=frame, side=tr(side.value))
                found.append(PointDoubt(FrameNumber(frame), f"{side}_toe", sentence))
    return found


def _landings(rows: Mapping[str, PointRows], footfalls: Iterable[Footfall]) -> Iterator[Looked]:
    words = {
        "toe": tr(
            "On frame {frame} the {side} foot lands, but the tip of the other shoe is placed lower. Left and "
            "right are changed over there, or the step is the other foot's."
        ),
        "ankle": tr(
            "On frame {frame} the {side} foot lands, but the other ankle is placed lower. Left and right are "
            "changed over there, or the step is the other foot's."
        ),
    }
    for footfall in _tagged(footfalls):
        for joint in _SHOE:
            lower = _apart(rows, footfall.side.other, (joint,), footfall.touchdown, axis=1)
            if lower is not None:
                yield _looked(words[joint], footfall.touchdown, footfall.side, joint, lower)
                break


def _leavings(
    rows: Mapping[str, PointRows], footfalls: Iterable[Footfall], start: StartPush, direction: Direction
) -> Iterator[Looked]:
    words = tr(
        "On frame {frame} the {side} foot leaves the ground, but its leg lies in front of the other. Left "
        "and right are changed over there, or the step is the other foot's."
    )
    front = _front_side(footfalls, start)
    leaving = [(f.toe_off, f.side) for f in _tagged(footfalls)]
    if front is not None:
        leaving += [(start.front_toe_off, front), (start.rear_toe_off, front.other)]
    for frame, side in leaving:
        ahead = _apart(rows, side, _LEG, frame, axis=0, forwards=direction.forwards)
        if ahead is not None:
            yield _looked(words, frame, side, "toe", ahead)


def _standing(
    rows: Mapping[str, PointRows],
    footfalls: Iterable[Footfall],
    start: StartPush,
    direction: Direction,
    seconds: Floats,
) -> Iterator[Looked]:
    words = tr(
        "On frame {frame} the {side} foot is placed in front, though it is the rear one of the start. Left "
        "and right are changed over there, or the other foot is in front."
    )
    front, until = _front_side(footfalls, start), start.first_movement
    if front is None or until is None or not 0 <= until < len(seconds):
        return
    earliest = int(np.searchsorted(seconds, seconds[until] - SET_S))
    feet = [one.frames for s in Side for j in _FEET if (one := rows.get(f"{s}_{j}"))]
    placed = [frames[(frames >= earliest) & (frames <= until)].tolist() for frames in feet]
    for frame in sorted({f for frames in placed for f in frames}):
        ahead = _apart(rows, front.other, _FEET, frame, axis=0, forwards=direction.forwards)
        if ahead is not None:
            yield _looked(words, frame, front.other, "toe", ahead)


def _looked(words: str, frame: int | None, side: Side, joint: str, off: float) -> Looked:
    at = FrameNumber(int(frame or 0))
    doubt = PointDoubt(at, f"{side}_{joint}", words.format(frame=at, side=tr(side.value)))
    return doubt, off > SURE


def _apart(
    rows: Mapping[str, PointRows],
    side: Side,
    joints: Sequence[str],
    frame: int | None,
    *,
    axis: int,
    forwards: float = 1.0,
) -> float | None:
    """How far the leg of a side lies along an axis of the picture beyond the other one, in the mean of the
    joints that both have on a frame, in standard uncertainties; None where they have none.
    """
    off, variance, count = 0.0, 0.0, 0
    for joint in joints:
        own, other = (_on(rows, f"{s}_{joint}", frame, axis) for s in (side, side.other))
        if own is not None and other is not None:
            off += forwards * (own[0] - other[0])
            variance += own[1] ** 2 + other[1] ** 2
            count += 1
    return off / math.sqrt(variance) if count and variance > 0 else None


def _on(rows: Mapping[str, PointRows], name: str, frame: int | None, axis: int) -> tuple[float, float] | None:
    """Where a point lies on a frame along an axis, px, and its error."""
    one = rows.get(name)
    if one is None or frame is None:
        return None
    at = int(one.frames.searchsorted(frame))
    if at == len(one.frames) or one.frames[at] != frame:
        return None
    return float(one.uv[at, axis]), float(one.error_px[at])


def _tagged(footfalls: Iterable[Footfall]) -> list[Footfall]:
    return [f for f in footfalls if not f.draft]


def _front_side(footfalls: Iterable[Footfall], start: StartPush) -> Side | None:
    """Whose foot leaves the ground last at the start: as it was said, else not that which lands first."""
    if start.front_side is not None:
        return start.front_side
    tagged = [f for f in _tagged(footfalls) if f.touchdown is not None]
    first = min(tagged, key=lambda f: int(f.touchdown or 0), default=None)
    return None if first is None else first.side.other


def _shoes(
    rows: Mapping[str, PointRows], side: Side, direction: Direction
) -> Iterator[tuple[int, float, float]]:
    """Frames on which a shoe lies flat, how far its tip is in front of its heel, px, and that one's error."""
    heel, tip = (rows.get(f"{side}_{part}") for part in ("heel", "toe"))
    if heel is None or tip is None:
        return
    frames, a, b = on_both(heel, tip)
    shoes = tip.uv[b] - heel.uv[a]
    u = np.hypot(tip.error_px[b], heel.error_px[a])
    flat = np.abs(shoes[:, 0]) > FLAT * np.hypot(shoes[:, 0], shoes[:, 1])
    along = direction.forwards * shoes[:, 0]
    yield from zip(frames[flat].tolist(), along[flat].tolist(), u[flat].tolist(), strict=True)


def _stands(side: Side, footfalls: Sequence[Footfall], start: StartPush) -> list[tuple[float, float]]:
    """From when to when a foot is on the ground, in frames; a contact without its end counts on its first
    frame.
    """
    front = _front_side(footfalls, start)
    found = [
        (float(f.touchdown), float(f.toe_off if f.toe_off is not None else f.touchdown + 1))
        for f in _tagged(footfalls)
        if f.side is side and f.touchdown is not None
    ]
    off = start.front_toe_off if front is side else start.rear_toe_off
    until = start.first_movement if off is None else off
    return [*found, (-math.inf, float(until))] if front is not None and until is not None else found
