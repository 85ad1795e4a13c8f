"""The colours in which pictures that leave the program are drawn on."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.values.run import Side


@dataclass(frozen=True)
class Ink:
    """Colours, ``#RRGGBB``: of either side's lines, of the middle of the body, round all of them, and beyond
    the picture's edge. Sides after Okabe and Ito (2008).
    """

    left: str = "#D55E00"
    right: str = "#0072B2"
    plain: str = "#FFFFFF"
    halo: str = "#000000"
    beyond: str = "#15181B"

    def of(self, side: Side | None) -> str:
        """The colour of a side."""
        return {Side.LEFT: self.left, Side.RIGHT: self.right, None: self.plain}[side]
