"""Text on dark plates in pictures that leave the program."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from PIL import Image, ImageDraw

from analysis.report.canvas import Canvas
from analysis.report.lettering import font_of, length, write
from analysis.report.stamp import Stamp

_TEXT_SHARE = 1 / 34
_LEAST_TEXT_PX = 11
_PLATE = (0, 0, 0, 170)


class Plates:
    """Plates for a picture of that height. ``bar``: width of the line in a side's colour, px."""

    def __init__(self, picture_height: int, bar: float) -> None:
        self._px = max(_LEAST_TEXT_PX, round(picture_height * _TEXT_SHARE))
        self._bar = bar

    def size(self, text: str) -> tuple[float, float]:
        """Width and height of the plate that holds a text."""
        return _size(text, self._px)

    def lay(
        self, canvas: Canvas, text: str, place: tuple[float, float], side_colour: str | None = None
    ) -> None:
        """A text, its plate's corner at a place; the side that it belongs to stands on the plate's edge."""
        plate = _plate(text, self._px, self._bar, side_colour, canvas.pixels.shape[2])
        plate.lay(canvas, round(place[0]), round(place[1]))


@lru_cache(maxsize=4096)
def _size(text: str, px: int) -> tuple[float, float]:
    line = _line(px)
    return length(text, px) + 0.5 * line, 1.25 * line


@lru_cache
def _line(px: int) -> float:
    return float(font_of(px).getbbox("Ag")[3])


@lru_cache(maxsize=1024)
def _plate(text: str, px: int, bar: float, side_colour: str | None, channels: int) -> Stamp:
    """A plate for pictures with so many channels."""
    width, height = _size(text, px)
    plate = Image.new("RGBA", (max(1, round(width)), max(1, round(height))), _PLATE)
    draw = ImageDraw.Draw(plate)
    if side_colour is not None:
        draw.rectangle((0, 0, max(1.0, bar), plate.height), side_colour)
    write(draw, (0.25 * _line(px), plate.height / 2), text, px, "#FFFFFF", "lm")
    pixels = np.asarray(plate).astype(np.uint16)
    alpha = np.repeat(pixels[..., 3:], channels, axis=2)
    order = [0, 1, 2] if channels == 3 else [2, 1, 0, 3]
    light = (pixels[..., order] * alpha // 255).astype(np.uint8)
    through = (255 - alpha).astype(np.uint8)
    if channels == 4:
        light[..., 3], through[..., 3] = 0, 255
    return Stamp(light, through)
