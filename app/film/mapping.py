"""Picture pixels to widget points and back, in one place."""

from __future__ import annotations

from dataclasses import dataclass, replace

SMALLEST, LARGEST = 0.05, 40.0


@dataclass(frozen=True)
class ViewMapping:
    """``scale``: widget points per picture pixel; ``left``, ``top``: where the picture's corner lies.

    Picture coordinates have their origin at the centre of the top left pixel, so its corner is (-0.5, -0.5).
    """

    scale: float = 1.0
    left: float = 0.0
    top: float = 0.0

    def to_widget(self, u: float, v: float) -> tuple[float, float]:
        """Where a picture place is shown."""
        return self.left + (u + 0.5) * self.scale, self.top + (v + 0.5) * self.scale

    def to_picture(self, x: float, y: float) -> tuple[float, float]:
        """Which picture place is shown there."""
        return (x - self.left) / self.scale - 0.5, (y - self.top) / self.scale - 0.5

    def moved(self, dx: float, dy: float) -> ViewMapping:
        """The picture shifted by widget points."""
        return replace(self, left=self.left + dx, top=self.top + dy)

    def zoomed(self, factor: float, x: float, y: float) -> ViewMapping:
        """Closer or further, the picture place under (x, y) staying there."""
        scale = min(LARGEST, max(SMALLEST, self.scale * factor))
        u, v = self.to_picture(x, y)
        return ViewMapping(scale, x - (u + 0.5) * scale, y - (v + 0.5) * scale)


def fitted(picture: tuple[int, int], widget: tuple[float, float]) -> ViewMapping:
    """The whole picture, as large as the widget allows, in its middle."""
    scale = min(widget[0] / picture[0], widget[1] / picture[1])
    scale = min(LARGEST, max(SMALLEST, scale))
    return ViewMapping(scale, (widget[0] - picture[0] * scale) / 2, (widget[1] - picture[1] * scale) / 2)
