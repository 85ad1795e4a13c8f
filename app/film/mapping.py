"""Picture pixels to widget points and back, in one place."""

from __future__ import annotations

from dataclasses import dataclass, replace

SMALLEST, LARGEST = 0.05, 40.0


@dataclass(frozen=True)
class ViewMapping:
    """``scale``: widget points per picture pixel; ``left``, ``top``: where the picture's left upper corner on
    screen lies. ``mirror_px``: the picture's width where it is shown mirrored left to right, else 0.

    Picture coordinates have their origin at the centre of the top left pixel, so its corner is (-0.5, -0.5).
    They stay true in a mirrored picture: only where they are shown changes.
    """

    scale: float = 1.0
    left: float = 0.0
    top: float = 0.0
    mirror_px: float = 0.0

    @property
    def mirrored(self) -> bool:
        """Whether left and right change places."""
        return self.mirror_px > 0

    def to_widget(self, u: float, v: float) -> tuple[float, float]:
        """Where a picture place is shown."""
        return self.left + (self._turned(u) + 0.5) * self.scale, self.top + (v + 0.5) * self.scale

    def to_picture(self, x: float, y: float) -> tuple[float, float]:
        """Which picture place is shown there."""
        return self._turned((x - self.left) / self.scale - 0.5), (y - self.top) / self.scale - 0.5

    def moved(self, dx: float, dy: float) -> ViewMapping:
        """The picture shifted by widget points."""
        return replace(self, left=self.left + dx, top=self.top + dy)

    def zoomed(self, factor: float, x: float, y: float) -> ViewMapping:
        """Closer or further, the picture place under (x, y) staying there."""
        scale = min(LARGEST, max(SMALLEST, self.scale * factor))
        return self.scaled_so(scale, self.to_picture(x, y), (x, y))

    def scaled_so(
        self, scale: float, picture: tuple[float, float], widget: tuple[float, float]
    ) -> ViewMapping:
        """At another scale, with a picture place at a widget place."""
        across = (self._turned(picture[0]) + 0.5) * scale
        return replace(self, scale=scale, left=widget[0] - across, top=widget[1] - (picture[1] + 0.5) * scale)

    def _turned(self, u: float) -> float:
        return self.mirror_px - 1.0 - u if self.mirror_px else u


def fitted(picture: tuple[int, int], widget: tuple[float, float], *, mirrored: bool = False) -> ViewMapping:
    """The whole picture, as large as the widget allows, in its middle."""
    scale = min(widget[0] / picture[0], widget[1] / picture[1])
    scale = min(LARGEST, max(SMALLEST, scale))
    left, top = (widget[0] - picture[0] * scale) / 2, (widget[1] - picture[1] * scale) / 2
    return ViewMapping(scale, left, top, float(picture[0]) if mirrored else 0.0)
