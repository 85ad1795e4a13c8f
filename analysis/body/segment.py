"""Shin and trunk angles on a frame and at an event."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analysis.body.angle import AngleReader, LineAngle
from analysis.ground.carried import Carried, Number, Source, combine, normal, widened
from analysis.ground.near import within_reach
from analysis.ground.points import PointsByName
from analysis.values.estimate import NoValue
from analysis.values.run import Line, LineKind, Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

CLOSE_S = 0.025
"""Three frames or more this close to an event give the rate by a straight line, s (own assumption)."""
NEAR_S = 0.06
"""Frames this close to an event may give the rate at which an angle changes there, s (own assumption)."""


End: TypeAlias = tuple[tuple[float, float], float]
"""An end of a segment in pixels, and its standard uncertainty along each axis."""


@dataclass(frozen=True, eq=False)
class Segment:
    """A segment that is read at events; there is one of each, below.

    ``rate_u``: how fast it turns there, deg/s, standard deviation about 0, as far as frames don't tell (own
    assumption). ``kink_u``: how much that changes as the foot lands or leaves, deg/s (own assumption).
    ``anatomy_deg``: error from where its joint centres lie under skin and clothes, constant over a film: shin
    1 cm at either end of 0.43 m, trunk 2 cm at either end of 0.50 m.
    """

    kind: LineKind
    lower: str
    upper: str
    rate_u: float
    kink_u: float
    anatomy_deg: float


_SHIN_DEG = math.degrees(math.sqrt(2) * 0.01 / 0.43)
SHIN_DOWN = Segment(LineKind.SHIN, "ankle", "knee", 500.0, 300.0, _SHIN_DEG)
"""The shin at touchdown, where it turns fast."""
SHIN_OFF = Segment(LineKind.SHIN, "ankle", "knee", 300.0, 300.0, _SHIN_DEG)
"""The shin at toe-off."""
TRUNK = Segment(LineKind.TRUNK, "hip", "shoulder", 60.0, 60.0, math.degrees(math.sqrt(2) * 0.02 / 0.50))


class SegmentReader:
    """Reads a run's segment angles: from a line drawn on the frame, else from its points."""

    def __init__(self, lines: Iterable[Line], points: PointsByName, angles: AngleReader) -> None:
        self._angles = angles
        self._lines: dict[tuple[LineKind, Side | None], dict[int, Line]] = {}
        for line in lines:
            self._lines.setdefault((line.kind, line.side), {}).setdefault(line.frame, line)
        self._points = {
            f"{side}_{name}": {int(p.frame): p for p in points.get(f"{side}_{name}", ())}
            for side in Side
            for name in ("hip", "knee", "ankle", "shoulder")
        }
        self._anatomy: dict[tuple[LineKind, Side | None], Source] = {}
        self._frames: dict[tuple[LineKind, Side | None], list[int]] = {}
        self._read: dict[tuple[LineKind, Side | None, int], LineAngle | NoValue | None] = {}

    def on_frame(self, segment: Segment, side: Side | None, frame: int) -> LineAngle | NoValue | None:
        """Angle on a frame, or None where neither line nor points stand there. ``side`` None:
        mid-body.
        """
        key = (segment.kind, side, frame)
        if key not in self._read:
            self._read[key] = self._on_frame(segment, side, frame)
        return self._read[key]

    def at_event(
        self,
        segment: Segment,
        side: Side | None,
        frame: int,
        time: Carried,
        seconds: Sequence[float],
        of_foot: Sequence[int] = (),
    ) -> tuple[Number, bool, tuple[int, ...]]:
        """Angle in deg at an event's estimate, whether it is partial (its rate is not known), and the frames
        that it rests on, rising.

        The angle on the tagged frame, else on the nearest within reach (``analysis.ground.near``), moved by
        rate x (event - frame time), so that ``|rate| u(event)`` is carried. The rate comes from the frames
        beside it, else from the nearest within 60 ms, weighed against the segment's usual rate (least squares
        with a prior); where there is none the angle stays as on the frame and the usual rate widens its
        error. The errors of the ends go through the same weights: halfway between two frames they are smaller
        than on either. That the turn changes with the contact adds ``kink_u`` over half the way. ``of_foot``:
        frames of the events of the foot that the
        segment stands on; one that lies nearer to another of them is not taken.
        """
        used = self.beside(segment, side, frame, float(time.nominal_value), seconds, of_foot)
        here = None if used is None else self.on_frame(segment, side, used)
        if used is None or here is None:
            return (
                NoValue(
                    tr("Draw a {name} line on frame {frame}, or place its points there.").format(
                        name=tr(segment.kind.value), frame=frame
                    )
                ),
                False,
                (),
            )
        if isinstance(here, NoValue):
            return here, False, ()
        offset = time - seconds[used]
        away = float(offset.nominal_value)
        anatomy = self._anatomy.setdefault((segment.kind, side), normal(segment.anatomy_deg))
        frames = self._frames_for_rate(segment, side, used, seconds)
        # the frames are few: plain numbers take a fraction of the time of arrays
        middle = sum(seconds[f] for f in frames) / len(frames)
        t = [seconds[f] - middle for f in frames]
        turns = self._turns(segment, side, used, frames)
        spread = sum(one * one for one in t)
        square = spread + (here.own_u / segment.rate_u) ** 2
        rate = sum(one * turn for one, turn in zip(t, turns, strict=True)) / square
        of_here = t[frames.index(used)]
        weights = 1.0 + (2.0 * of_here * away + away * away * spread / square) / square
        pulled = (1.0 - spread / square) * segment.rate_u * away
        loose = here.own_u / math.sqrt(square) * float(offset.std_dev)
        u = math.hypot(here.own_u * math.sqrt(weights), pulled, loose, segment.kink_u * away / 2)
        angle = combine(here.value, here.shared) + rate * offset
        return widened(angle, normal(u), anatomy), len(frames) == 1, tuple(frames)

    def beside(
        self,
        segment: Segment,
        side: Side | None,
        frame: int,
        time_s: float,
        seconds: Sequence[float],
        of_foot: Sequence[int],
    ) -> int | None:
        """The frame from which an event's angle is read: its own, else the nearest."""
        frames = self._frames_with(segment, side)
        place = bisect_left(frames, frame)
        if place < len(frames) and frames[place] == frame:
            return frame
        at = seconds[frame]

        def is_its_own(f: int) -> bool:
            return not any(abs(seconds[f] - seconds[o]) < abs(seconds[f] - at) for o in of_foot)

        beside = [
            f
            for f in frames[max(0, place - 1) : place + 1]
            if 0 <= f < len(seconds) and within_reach(f - frame, seconds[f] - at) and is_its_own(f)
        ]
        return min(beside, key=lambda f: abs(seconds[f] - time_s), default=None)

    def one_side_on(self, segment: Segment, frame: int) -> bool:
        """Whether on a frame points of one side alone stand for the middle of the body, and no line."""
        if any(frame in self._lines.get((segment.kind, key), {}) for key in _line_sides(None)):
            return False
        return any(
            sum(frame in self._points.get(f"{side}_{name}", {}) for side in Side) == 1
            for name in (segment.lower, segment.upper)
        )

    def _frames_for_rate(
        self, segment: Segment, side: Side | None, frame: int, seconds: Sequence[float]
    ) -> list[int]:
        """Frames that tell how fast the angle changes about ``frame``, itself among them: three or more
        within 25 ms, else the nearest within 60 ms on either side; alone where no other holds the segment.
        """
        frames = self._frames_with(segment, side)
        place = bisect_left(frames, frame)
        used = self._around(frames, place, CLOSE_S, seconds)
        if len(used) < 3:
            near = self._around(frames, place, NEAR_S, seconds)
            at = near.index(frame)
            used = near[max(0, at - 1) : at + 2]
        return used

    def _turns(self, segment: Segment, side: Side | None, frame: int, frames: list[int]) -> list[float]:
        """How far the segment is turned on each of ``frames`` against ``frame``, deg. Taken from angles in
        the picture: a rate needs no scale.
        """
        middle = self._in_picture(segment, side, frame)
        return [(self._in_picture(segment, side, f) - middle + 180.0) % 360.0 - 180.0 for f in frames]

    @staticmethod
    def _around(frames: list[int], place: int, reach_s: float, seconds: Sequence[float]) -> list[int]:
        """Frames that hold the segment, within ``reach_s`` of the one at ``place``, rising."""
        first = last = place
        at = seconds[frames[place]]
        while first > 0 and at - seconds[frames[first - 1]] <= reach_s:
            first -= 1
        while (
            last + 1 < len(frames)
            and frames[last + 1] < len(seconds)
            and seconds[frames[last + 1]] - at <= reach_s
        ):
            last += 1
        return frames[first : last + 1]

    def _in_picture(self, segment: Segment, side: Side | None, frame: int) -> float:
        """Angle in deg in the picture, of a frame that holds the segment."""
        ends = self._ends(segment, side, frame)
        assert ends is not None
        return self._angles.in_picture(ends[0][0], ends[1][0])

    def _frames_with(self, segment: Segment, side: Side | None) -> list[int]:
        """Frames that hold the segment, rising."""
        key = (segment.kind, side)
        if key not in self._frames:
            found: set[int] = set()
            for line_side in _line_sides(side):
                found |= self._lines.get((segment.kind, line_side), {}).keys()
            sides = (side,) if side is not None else (Side.LEFT, Side.RIGHT)
            lower, upper = (
                set().union(*(self._points.get(f"{s}_{name}", {}) for s in sides))
                for name in (segment.lower, segment.upper)
            )
            self._frames[key] = sorted(found | (lower & upper))
        return self._frames[key]

    def _on_frame(self, segment: Segment, side: Side | None, frame: int) -> LineAngle | NoValue | None:
        ends = self._ends(segment, side, frame)
        if ends is None:
            return None
        (lower, lower_px), (upper, upper_px) = ends
        return self._angles.parts(lower, upper, lower_px, upper_px)

    def _ends(self, segment: Segment, side: Side | None, frame: int) -> tuple[End, End] | None:
        for key in _line_sides(side):
            line = self._lines.get((segment.kind, key), {}).get(frame)
            if line is not None:
                return (line.lower, line.error_px), (line.upper, line.error_px)
        lower, upper = self._end(segment.lower, side, frame), self._end(segment.upper, side, frame)
        return None if lower is None or upper is None else (lower, upper)

    def _end(self, name: str, side: Side | None, frame: int) -> End | None:
        """Pixel of a joint and its error; of the body's middle where ``side`` is None: both joints, else the
        one.
        """
        names = [f"{s}_{name}" for s in ((side,) if side is not None else (Side.LEFT, Side.RIGHT))]
        there = [p for n in names if (p := self._points.get(n, {}).get(frame)) is not None]
        if not there:
            return None
        count = len(there)
        middle = (sum(p.u for p in there) / count, sum(p.v for p in there) / count)
        return middle, math.sqrt(sum(p.error_px**2 for p in there)) / count


def _line_sides(side: Side | None) -> Iterable[Side | None]:
    """Sides under which a line of the segment may have been drawn."""
    return (side, None) if side is not None else (None, Side.LEFT, Side.RIGHT)
