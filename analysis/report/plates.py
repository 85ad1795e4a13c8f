"""Text on dark plates in pictures that leave the program."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

from analysis.report.canvas import Canvas
from analysis.report.lettering import font_for, font_of, one_line

_TEXT_SHARE = 1 / 34
_LEAST_TEXT_PX = 11
_PLATE = (0, 0, 0, 170)

Inks = npt.NDArray[np.uint16]


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
        light, through = _plate(text, self._px, self._bar, side_colour)
        x, y = round(place[0]), round(place[1])
        left, top = max(0, x), max(0, y)
        right, bottom = min(canvas.width, x + light.shape[1]), min(canvas.height, y + light.shape[0])
        if right <= left or bottom <= top:
            return
        part = canvas.pixels[top:bottom, left:right, :3]
        own = slice(top - y, bottom - y), slice(left - x, right - x)
        ink = light[own] if canvas.pixels.shape[2] == 3 else light[own][..., ::-1]
        part[:] = ((part * through[own] + 127) // 255 + ink).astype(np.uint8)


@lru_cache(maxsize=4096)
def _size(text: str, px: int) -> tuple[float, float]:
    line = _line(px)
    return font_for(one_line(text), px).getlength(one_line(text)) + 0.5 * line, 1.25 * line


@lru_cache
def _line(px: int) -> float:
    return float(font_of(px).getbbox("Ag")[3])


@lru_cache(maxsize=1024)
def _plate(text: str, px: int, bar: float, side_colour: str | None) -> tuple[Inks, Inks]:
    """A plate: its light, red, green, blue, and how much of its ground comes through, of 255."""
    width, height = _size(text, px)
    plate = Image.new("RGBA", (max(1, round(width)), max(1, round(height))), _PLATE)
    draw = ImageDraw.Draw(plate)
    if side_colour is not None:
        draw.rectangle((0, 0, max(1.0, bar), plate.height), side_colour)
    words = one_line(text)
    draw.text((0.25 * _line(px), plate.height / 2), words, "#FFFFFF", font_for(words, px), anchor="lm")
    pixels = np.asarray(plate).astype(np.uint16)
    alpha = pixels[..., 3:]
    return pixels[..., :3] * alpha // 255, 255 - alpha
