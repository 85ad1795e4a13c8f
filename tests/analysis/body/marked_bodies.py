"""Bodies of the sample clips' truth as a coach places them, and what can go wrong with them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from analysis.ground.point_rows import PointRows, rows_of
from analysis.ground.points import by_name
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction, Footfall, Side, StartPush
from tests.analysis.reading.runs import SAMPLES, evidence_of, sample

SECONDS = np.arange(720) / 240
CLICK_PX = 1.5


class Marked:
    """A sample clip's run and its truth. ``by_gap``: every point on every 12th frame, clicks 1.5 px off along
    each axis; ``at_events``: the same on the frames of its events.
    """

    footfalls: Sequence[Footfall]
    start: StartPush
    direction: Direction

    def __init__(self, name: str) -> None:
        with np.load(SAMPLES / f"{name}.truth.npz") as arrays:
            self.names, self.pixels = [str(n) for n in arrays["names"]], arrays["pixels"]
        run = evidence_of(sample(name)[0]).run
        self.footfalls, self.start, self.direction = run.footfalls, run.start, run.direction
        rng = np.random.default_rng(5)
        self.by_gap = self._clicked(range(0, len(self.pixels), 12), rng)
        self.at_events = self._clicked(self.event_frames, rng)

    @property
    def event_frames(self) -> list[int]:
        """Of the start and of every footfall."""
        start = (self.start.first_movement, self.start.rear_toe_off, self.start.front_toe_off)
        steps = (frame for f in self.footfalls for frame in (f.touchdown, f.toe_off))
        return sorted({int(frame) for frame in (*start, *steps) if frame is not None})

    def _clicked(self, frames: Iterable[int], rng: np.random.Generator) -> list[BodyPoint]:
        return [
            BodyPoint(FrameNumber(f), n, *map(float, self.pixels[f, c] + rng.normal(0, CLICK_PX, 2)))
            for f in frames
            for c, n in enumerate(self.names)
        ]


def rows(points: Iterable[BodyPoint]) -> Mapping[str, PointRows]:
    """Placed points as the checks take them."""
    return rows_of(by_name(points), len(SECONDS))


def swapped(points: Iterable[BodyPoint], frames: Collection[int]) -> list[BodyPoint]:
    """Left for right on these frames."""
    return [replace(p, name=other_side(p.name)) if p.frame in frames else p for p in points]


def other_side(name: str) -> str:
    """The same point of the other side."""
    side, _, part = name.partition("_")
    return f"{Side(side).other.value}_{part}" if side in ("left", "right") else name
