"""The line under the feet and the body's height over it, from fewer and smaller pictures than a film has."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.contacts import best_chain
from analysis.derive.footfalls.cutting import Band
from analysis.derive.footfalls.line import feet_line, height_over
from analysis.derive.footfalls.strip import Shine, read_strip
from analysis.values.run import Direction

Floats = npt.NDArray[np.float64]

WIDE_ZONE = (0.40, 0.20)
"""Body heights over and under a line guessed from what moves in which feet may stand."""
_ENOUGH_HZ = 80.0
"""So many frames a second show where the ground line runs."""
_TALL_PX = 140.0
"""Of a body so tall every second pixel does."""


@dataclass(frozen=True, eq=False)
class Thin:
    """Every so many frames, and every so many pixels, of a band and of what is known of it."""

    every: int
    step: int

    @classmethod
    def enough_for(cls, body: BodyPath, rate_hz: float) -> Thin:
        """As thin as it may be."""
        every = max(1, int(rate_hz // _ENOUGH_HZ))
        return cls(every, 2 if every > 1 and body.height_px >= _TALL_PX else 1)

    def band(self, band: Band) -> Band:
        """A band so."""
        few, step = band.every(self.every), self.step
        place = few.place
        tints = None if few.tints is None else few.tints[:, ::step, ::step]
        above, below = -(-place.above // step), max(1, place.below // step)
        smaller = replace(place, offset=place.offset / step, above=above, below=below)
        return replace(few, place=smaller, pictures=few.pictures[:, ::step, ::step], tints=tints)

    def canvas(self, canvas: Canvas) -> Canvas:
        """The plane so."""
        maps = None if canvas.maps is None else canvas.maps[:: self.every]
        sees = canvas.sees[:: self.every]
        seen = sees[:, :1] <= sees[:, 1:]
        return replace(canvas, maps=maps, sees=np.where(seen, sees / self.step, sees))

    def body(self, body: BodyPath) -> BodyPath:
        """The body's path so."""
        few, step = body.every(self.every), self.step
        return replace(few, u=few.u / step, height_px=few.height_px / step)


def stood_on(
    band: Band,
    canvas: Canvas,
    body: BodyPath,
    seconds: Floats,
    feet: tuple[float, float] | None,
    shine: Shine,
    direction: Direction | None,
) -> tuple[tuple[float, float], float] | None:
    """Slope and row at column 0 of the line under the feet, in rows of the band, and the body's height over
    it, px; None where too few feet are found. ``feet``: about where that line runs.
    """
    rate = 1.0 / float(np.median(np.diff(seconds)))
    thin = Thin.enough_for(body, rate)
    few, less = seconds[:: thin.every], thin.body(body)
    guess = None if feet is None else (feet[0], feet[1] / thin.step)
    pictures, plane, light = thin.band(band), thin.canvas(canvas), shine.every(thin.every)
    strip = read_strip(pictures, plane, less, rate / thin.every, WIDE_ZONE, guess, light)
    found = feet_line(strip, best_chain(strip, less, few, direction)[0], less.height_px)
    if found is None:
        return None
    line = found[0], thin.step * found[1]
    return line, height_over(body.every(thin.every), band.place, canvas.left, line)
