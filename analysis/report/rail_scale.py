"""Time to height and back: the rail's axis, as a value."""

from __future__ import annotations

from dataclasses import dataclass, replace

SHORTEST_FRAME_PX = 24.0
"""How far one may zoom in: until the shortest frame is as tall as a target."""

_TICK_STEPS_S = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 30.0)


@dataclass(frozen=True)
class TimeScale:
    """A window of time on a stretch of pixels, time running downwards.

    ``first_s`` to ``last_s``: all that there is. ``top_s``: what stands at ``top_px``. ``zoom``: 1 shows all.
    ``most_px_per_s``: where zooming in ends.
    """

    first_s: float
    last_s: float
    top_px: float
    bottom_px: float
    top_s: float
    zoom: float = 1.0
    most_px_per_s: float = 5760.0

    @classmethod
    def fitted(
        cls, first_s: float, last_s: float, top_px: float, bottom_px: float, shortest_s: float = 1 / 240
    ) -> TimeScale:
        """All of ``first_s`` to ``last_s`` between two heights; ``shortest_s`` is the shortest frame."""
        most = SHORTEST_FRAME_PX / shortest_s
        return cls(first_s, last_s, top_px, max(bottom_px, top_px + 1.0), first_s, most_px_per_s=most)

    @property
    def px_per_s(self) -> float:
        """Pixels to the second."""
        return self.zoom * (self.bottom_px - self.top_px) / max(self.last_s - self.first_s, 1e-6)

    @property
    def bottom_s(self) -> float:
        """What stands at ``bottom_px``."""
        return self.time(self.bottom_px)

    def y(self, time_s: float) -> float:
        """Height of a moment."""
        return self.top_px + (time_s - self.top_s) * self.px_per_s

    def time(self, y: float) -> float:
        """The moment at a height."""
        return self.top_s + (y - self.top_px) / self.px_per_s

    def zoomed(self, factor: float, y: float) -> TimeScale:
        """Zoomed by ``factor``; what stands at ``y`` stays there as far as the ends allow."""
        held = self.time(y)
        most = max(1.0, self.zoom * self.most_px_per_s / self.px_per_s)
        closer = replace(self, zoom=min(max(self.zoom * factor, 1.0), most))
        return replace(closer, top_s=held - (y - self.top_px) / closer.px_per_s).within()

    def scrolled(self, px: float) -> TimeScale:
        """Moved so that later times come up by ``px``."""
        return replace(self, top_s=self.top_s + px / self.px_per_s).within()

    def shifted(self, by_s: float) -> TimeScale:
        """The same stretch of pixels with every moment later by ``by_s``."""
        return replace(self, first_s=self.first_s + by_s, last_s=self.last_s + by_s, top_s=self.top_s + by_s)

    def resized(self, top_px: float, bottom_px: float) -> TimeScale:
        """The same times at the same zoom between other heights."""
        return replace(self, top_px=top_px, bottom_px=max(bottom_px, top_px + 1.0)).within()

    def showing(self, time_s: float) -> TimeScale:
        """Itself where the moment is in sight, else moved so that it stands in the upper third."""
        if self.top_s <= time_s <= self.bottom_s:
            return self
        third = (self.bottom_px - self.top_px) / 3 / self.px_per_s
        return replace(self, top_s=time_s - third).within()

    def covering(self, begin_s: float, end_s: float) -> TimeScale:
        """Zoomed so that these two moments stand at its ends, as far as zooming goes."""
        most = max(1.0, self.zoom * self.most_px_per_s / self.px_per_s)
        zoom = (self.last_s - self.first_s) / max(end_s - begin_s, 1e-6)
        return replace(self, zoom=min(max(zoom, 1.0), most), top_s=begin_s).within()

    def ticks(self, least_px: float) -> tuple[float, tuple[float, ...]]:
        """Step of the axis in s, and the round times in sight."""
        step = next((s for s in _TICK_STEPS_S if s * self.px_per_s >= least_px), _TICK_STEPS_S[-1])
        first = int(self.top_s / step) - 1
        count = int((self.bottom_s - self.top_s) / step) + 3
        times = (round((first + i) * step, 6) for i in range(count))
        return step, tuple(t for t in times if self.top_s <= t <= self.bottom_s)

    def within(self) -> TimeScale:
        """Moved so that it shows nothing outside the first and last moment."""
        span = (self.last_s - self.first_s) / self.zoom
        return replace(self, top_s=min(max(self.top_s, self.first_s), self.last_s - span))
