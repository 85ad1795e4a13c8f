"""Shin and trunk angles on a frame and at an event."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.body.angle import AngleReader
from analysis.ground.carried import Carried, Number, Source, normal
from analysis.ground.points import PointsByName
from analysis.values.estimate import NoValue
from analysis.values.run import Line, LineKind, Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

NEAR_S = 0.06
"""Frames this close to an event may give the rate at which an angle changes there, s (own assumption)."""


@dataclass(frozen=True)
class Segment:
    """A segment that is read at events. ``rate_u``: how fast it turns there, deg/s, standard uncertainty
    where no neighbouring frame tells (own assumption). ``anatomy_deg``: error from where its joint centres
    lie under skin and clothes, constant over a film: shin 1 cm at either end of 0.43 m, trunk 2 cm at either
    end of 0.50 m.
    """

    kind: LineKind
    lower: str
    upper: str
    rate_u: float
    anatomy_deg: float


SHIN = Segment(LineKind.SHIN, "ankle", "knee", 500.0, math.degrees(math.sqrt(2) * 0.01 / 0.43))
TRUNK = Segment(LineKind.TRUNK, "hip", "shoulder", 60.0, math.degrees(math.sqrt(2) * 0.02 / 0.50))


class SegmentReader:
    """Reads a run's segment angles: from a line drawn on the frame, else from its points."""

    def __init__(self, lines: Iterable[Line], points: PointsByName, angles: AngleReader) -> None:
        self._angles = angles
        self._lines: dict[tuple[LineKind, Side | None], dict[int, Line]] = {}
        for line in lines:
            self._lines.setdefault((line.kind, line.side), {}).setdefault(line.frame, line)
        self._points = {
            f"{side.value}_{name}": {int(p.frame): p for p in points.get(f"{side.value}_{name}", ())}
            for side in Side
            for name in ("hip", "knee", "ankle", "shoulder")
        }
        self._anatomy: dict[tuple[LineKind, Side | None], Source] = {}
        self._frames: dict[tuple[LineKind, Side | None], list[int]] = {}
        self._read: dict[tuple[LineKind, Side | None, int], Number | None] = {}

    def on_frame(self, segment: Segment, side: Side | None, frame: int) -> Number | None:
        """Angle in deg on a frame, or None where neither line nor points stand there. ``side`` None:
        mid-body.
        """
        key = (segment.kind, side, frame)
        if key not in self._read:
            self._read[key] = self._on_frame(segment, side, frame)
        return self._read[key]

    def at_event(
        self, segment: Segment, side: Side | None, frame: int, time: Carried, seconds: Floats
    ) -> tuple[Number, bool]:
        """Angle in deg at an event's estimate, and whether it is partial (its rate is not known).

        The angle on the tagged frame moved by rate x (event - frame time), so that ``|rate| u(event)`` is
        carried. The rate comes from the frames beside it, else from the nearest within 60 ms; where there is
        none the angle stays as on the frame and the segment's usual rate widens its error.
        """
        here = self.on_frame(segment, side, frame)
        name = tr(segment.kind.value)
        if here is None:
            return NoValue(
                tr("Draw a {name} line on frame {frame}, or place its points there.").format(
                    name=name, frame=frame
                )
            ), False
        if isinstance(here, NoValue):
            return here, False
        offset = time - float(seconds[frame])
        rate = self._rate(segment, side, frame, seconds)
        anatomy = self._anatomy.setdefault((segment.kind, side), normal(segment.anatomy_deg))
        if rate is not None:
            return here + rate * offset + anatomy, False
        u = segment.rate_u * math.hypot(offset.nominal_value, offset.std_dev)
        return here + normal(u) + anatomy, True

    def _rate(self, segment: Segment, side: Side | None, frame: int, seconds: Floats) -> float | None:
        before = self._nearest(segment, side, frame, -1, seconds)
        after = self._nearest(segment, side, frame, 1, seconds)
        begin = before if before is not None else frame
        end = after if after is not None else frame
        if begin == end:
            return None
        first, last = self.on_frame(segment, side, begin), self.on_frame(segment, side, end)
        if first is None or last is None or isinstance(first, NoValue) or isinstance(last, NoValue):
            return None
        turn = (last.nominal_value - first.nominal_value + 180.0) % 360.0 - 180.0
        return float(turn / (seconds[end] - seconds[begin]))

    def _nearest(
        self, segment: Segment, side: Side | None, frame: int, way: int, seconds: Floats
    ) -> int | None:
        frames = self._frames_with(segment, side)
        place = bisect_left(frames, frame) if way < 0 else bisect_right(frames, frame)
        place += min(way, 0)
        if not 0 <= place < len(frames) or frames[place] >= len(seconds):
            return None
        near = abs(seconds[frames[place]] - seconds[frame]) <= NEAR_S
        return frames[place] if near else None

    def _frames_with(self, segment: Segment, side: Side | None) -> list[int]:
        """Frames that hold the segment, rising."""
        key = (segment.kind, side)
        if key not in self._frames:
            found: set[int] = set()
            for line_side in _line_sides(side):
                found |= self._lines.get((segment.kind, line_side), {}).keys()
            sides = (side,) if side is not None else (Side.LEFT, Side.RIGHT)
            lower, upper = (
                set().union(*(self._points.get(f"{s.value}_{name}", {}) for s in sides))
                for name in (segment.lower, segment.upper)
            )
            self._frames[key] = sorted(found | (lower & upper))
        return self._frames[key]

    def _on_frame(self, segment: Segment, side: Side | None, frame: int) -> Number | None:
        for key in _line_sides(side):
            line = self._lines.get((segment.kind, key), {}).get(frame)
            if line is not None:
                return self._angles.read(line.lower, line.upper, line.error_px, line.error_px)
        lower, upper = self._end(segment.lower, side, frame), self._end(segment.upper, side, frame)
        if lower is None or upper is None:
            return None
        return self._angles.read(lower[0], upper[0], lower[1], upper[1])

    def _end(self, name: str, side: Side | None, frame: int) -> tuple[tuple[float, float], float] | None:
        """Pixel of a joint and its error; of the body's middle where ``side`` is None: both joints, else the
        one.
        """
        names = [f"{s.value}_{name}" for s in ((side,) if side is not None else (Side.LEFT, Side.RIGHT))]
        there = [p for n in names if (p := self._points.get(n, {}).get(frame)) is not None]
        if not there:
            return None
        count = len(there)
        middle = (sum(p.u for p in there) / count, sum(p.v for p in there) / count)
        return middle, math.sqrt(sum(p.error_px**2 for p in there)) / count


def _line_sides(side: Side | None) -> Iterable[Side | None]:
    """Sides under which a line of the segment may have been drawn."""
    return (side, None) if side is not None else (None, Side.LEFT, Side.RIGHT)
