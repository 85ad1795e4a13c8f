"""A limb drawn as a lit, rounded, tapered body: every pixel knows how far along and across it lies."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Array
from sample_clips.scenario import Colour

Image = NDArray[np.float32]

# Light from above, a little from behind and from the camera's side: right, down, towards the camera.
LIGHT = np.array([-0.30, -0.74, 0.60]) / np.linalg.norm([-0.30, -0.74, 0.60])
AMBIENT, DIFFUSE = 0.50, 0.62


@dataclass
class Canvas:
    """A patch of the picture, finer than its pixels: colour times cover, and cover."""

    origin: Array  # picture's u, v at the patch's top left pixel centre
    fine: int
    colour: Image  # (h, w, 3)
    cover: Image  # (h, w)

    @classmethod
    def blank(cls, origin: Array, width: int, height: int, fine: int) -> Canvas:
        shape = (height * fine, width * fine)
        return cls(origin, fine, np.zeros((*shape, 3), np.float32), np.zeros(shape, np.float32))

    def place(self, uv: Array) -> Array:
        """Picture pixels to patch pixels."""
        return np.asarray((np.asarray(uv, float) - self.origin + 0.5) * self.fine - 0.5)

    def window(self, low: Array, high: Array) -> tuple[slice, slice] | None:
        h, w = self.cover.shape
        x0, y0 = max(int(np.floor(low[0])), 0), max(int(np.floor(low[1])), 0)
        x1, y1 = min(int(np.ceil(high[0])) + 1, w), min(int(np.ceil(high[1])) + 1, h)
        return (slice(y0, y1), slice(x0, x1)) if x1 > x0 and y1 > y0 else None

    def paint(
        self,
        where: tuple[slice, slice],
        shade: Image,
        colour: Colour,
        alpha: Image,
        dusk: Image | None = None,
    ) -> None:
        """Lays shaded colour over what is there; `dusk` darkens what stays seen beside it."""
        left = 1.0 - alpha
        cover = self.cover[where]
        cover *= left
        cover += alpha
        under = self.colour[where]
        under *= (left if dusk is None else left * (1.0 - dusk))[..., None]
        under += (shade * alpha)[..., None] * np.array(colour, np.float32)


@dataclass(frozen=True)
class Limb:
    """A tapered body from a to b. `front`, `back`: half widths in px at evenly spaced places from a to b."""

    a: Array
    b: Array
    front: Array
    back: Array
    colour: Colour
    mirror: float = 1.0  # 1 where front lies to the right of the way from b to a, -1 else
    bow: float = 0.0  # how far the axis bends to the front in its middle, px
    tone: float = 1.0
    folds: float = 0.0
    round_a: float = 1.0  # how round the ends are: 1 a ball, 0 cut off
    round_b: float = 1.0
    edge: float = 0.0  # darker hem at b
    dusk: float = 0.35


def draw_limb(canvas: Canvas, limb: Limb) -> None:
    """Paints one limb with soft light across it."""
    a, b = canvas.place(limb.a), canvas.place(limb.b)
    k = canvas.fine
    along = b - a
    length = max(float(np.hypot(*along)), 1e-6)
    along = along / length
    forward = limb.mirror * np.array([-along[1], along[0]])
    widest = k * float(max(limb.front.max(), limb.back.max())) + abs(limb.bow) * k + 4.0 * k
    where = canvas.window(np.minimum(a, b) - widest, np.maximum(a, b) + widest)
    if where is None:
        return
    # A row of columns and a column of rows: sums of the two span the patch.
    dx = np.arange(where[1].start, where[1].stop, dtype=np.float32)[None, :] - np.float32(a[0])
    dy = np.arange(where[0].start, where[0].stop, dtype=np.float32)[:, None] - np.float32(a[1])
    s = dx * np.float32(along[0] / length) + dy * np.float32(along[1] / length)
    d = dx * np.float32(forward[0]) + dy * np.float32(forward[1])
    inside = np.minimum(np.maximum(s, 0.0), 1.0)
    if limb.bow:
        d -= np.float32(4.0 * k * limb.bow) * inside * (1.0 - inside)
    widths = [_widths(tuple(w.tolist())) * np.float32(k) for w in (limb.front, limb.back)]
    index = (inside * 63.0).astype(np.int32)
    radius = np.where(d > 0.0, widths[0][index], widths[1][index])
    over = (s - inside) * np.float32(length)
    over = np.where(over < 0.0, over / max(limb.round_a, 0.05), over / max(limb.round_b, 0.05))
    distance = np.hypot(d, over)
    edge = distance - radius
    alpha = np.minimum(np.maximum(0.5 - edge, 0.0), 1.0)
    across = np.minimum(np.maximum(d / radius, -1.0), 1.0)
    ends = np.minimum(np.maximum(over / radius, -1.0), 1.0)
    facing = np.sqrt(np.maximum(1.0 - across * across - ends * ends, 0.0))
    normal_x = across * np.float32(forward[0]) + ends * np.float32(along[0])
    normal_y = across * np.float32(forward[1]) + ends * np.float32(along[1])
    lit = normal_x * np.float32(LIGHT[0]) + normal_y * np.float32(LIGHT[1]) + facing * np.float32(LIGHT[2])
    shade = AMBIENT + DIFFUSE * np.maximum(lit, 0.0) - 0.12 * (1.0 - facing) * (1.0 - facing)
    if limb.folds:
        wave = np.sin(9.0 * s + 3.1 * across + 2.0 * np.sin(5.0 * s)) + 0.6 * np.sin(21.0 * s - 4.0 * across)
        shade = shade * (1.0 + limb.folds * wave)
    if limb.edge:
        shade = shade * (1.0 - limb.edge * np.clip((s - 0.90) * 12.0, 0.0, 1.0))
    shade = (shade * limb.tone).astype(np.float32)
    dusk = None
    if limb.dusk:
        reach = 3.5 * k
        soft = np.minimum(np.maximum(1.0 - edge / reach, 0.0), 1.0) ** 2
        dusk = (limb.dusk * soft).astype(np.float32)
    canvas.paint(where, shade, limb.colour, alpha.astype(np.float32), dusk)


@lru_cache(maxsize=4096)
def _widths(values: tuple[float, ...]) -> Image:
    """Half widths at 64 places along a limb."""
    stops = np.linspace(0.0, 1.0, len(values))
    return _rounded(np.linspace(0.0, 1.0, 64), stops, np.array(values)).astype(np.float32)


def _rounded(at: Array, stops: Array, values: Array) -> Array:
    """Cosine interpolation, so that outlines have no corners."""
    i = np.clip(np.searchsorted(stops, at, side="right") - 1, 0, len(stops) - 2)
    u = (at - stops[i]) / (stops[i + 1] - stops[i])
    u = 0.35 * u + 0.65 * u * u * (3.0 - 2.0 * u)
    return np.asarray(values[i] + u * (values[i + 1] - values[i]))
