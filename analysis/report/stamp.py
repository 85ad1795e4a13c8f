"""What is drawn once and laid on many pictures."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass

import cv2
import numpy as np

from analysis.report.canvas import Box, Canvas, Pixels


@dataclass(frozen=True)
class Stamp:
    """``light``: its own, ``through``: how much of its ground comes through, of 255; in the order of the
    channels of the pictures that it is laid on.
    """

    light: Pixels
    through: Pixels

    def lay(self, canvas: Canvas, x: int, y: int) -> None:
        """Lay it on a picture, its left upper corner there; what lies beyond the edge is left out."""
        left, top = max(0, x), max(0, y)
        right, bottom = (
            min(canvas.width, x + self.light.shape[1]),
            min(canvas.height, y + self.light.shape[0]),
        )
        if right <= left or bottom <= top:
            return
        part, own = canvas.pixels[top:bottom, left:right], np.s_[top - y : bottom - y, left - x : right - x]
        part[:] = cv2.add(cv2.multiply(part, self.through[own], scale=1 / 255), self.light[own])


def stamp_of(draw: Callable[[Canvas], None], box: Box, channels: int) -> Stamp:
    """What ``draw`` draws in that part of a picture. What it draws must cover its ground by shares."""
    left, top, right, bottom = box
    black = np.zeros((bottom, right, channels), np.uint8)
    white = np.full_like(black, 255)
    for ground in (black, white):
        draw(Canvas(ground))
    light, over_white = (ground[top:, left:].copy() for ground in (black, white))
    return Stamp(light, np.asarray(cv2.subtract(over_white, light), np.uint8))


class LaidAgain:
    """Draws what comes for the first time, and lays it as a stamp when the next picture has it as well."""

    def __init__(self) -> None:
        self._key: Hashable = None
        self._stamp: Stamp | None = None

    def lay(self, canvas: Canvas, key: Hashable, box: Box, draw: Callable[[Canvas], None]) -> None:
        """``key``: the same for what ``draw`` draws the same; ``box``: the part that it draws in."""
        if key != self._key:
            self._key, self._stamp = key, None
            draw(canvas)
            return
        if self._stamp is None:
            self._stamp = stamp_of(draw, box, canvas.pixels.shape[2])
        self._stamp.lay(canvas, box[0], box[1])
