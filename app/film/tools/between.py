"""Click two body points: the line between them is drawn on every frame that holds them."""

from __future__ import annotations

import math
from collections.abc import Callable

from analysis.report.body import Spot, spots_on
from analysis.report.scene import Dot, Scene
from analysis.values.command import Kind
from analysis.values.point_names import point_words
from analysis.values.words import tr
from app.bench import Bench
from app.film.tools.select import REACH_POINTS
from app.film.tools.tool import Aim, Surface, Tool


class BetweenTool(Tool):
    """The first click takes one point, the second the other; the one that lies lower is the lower end."""

    id = "between_tool"

    def __init__(self, bench: Bench, surface: Surface, chosen: Callable[[str, str], None]) -> None:
        self._bench = bench
        self._surface = surface
        self._chosen = chosen
        self._first = ""

    def asks(self) -> str:
        """Which point is next."""
        if not self._spots():
            return tr("Place body points on this frame first, or go to one that holds some.")
        if not self._first:
            return tr("Click a body point: one end of the line.")
        return tr("Click the other end of the line from the {name}.").format(name=point_words(self._first))

    def keys(self) -> str:
        """How to leave."""
        return tr("Escape ends.")

    def end(self) -> None:
        """Drop the end that was chosen."""
        self.escape()

    def release(self, aim: Aim) -> None:
        """Choose the point under the pointer."""
        spots = self._spots()
        name = _nearest(spots, aim)
        if not name:
            self._bench.said.emit(tr("No body point is here. Click one of the rings."))
        elif not self._first or self._first not in spots:
            self._first = name
            spot = spots[name]
            self._surface.show_ghost(Scene(dots=(Dot(Kind.POINT, "end", None, spot.u, spot.v),)))
        elif name != self._first:
            low, high = sorted((self._first, name), key=lambda each: -spots[each].v)
            self.escape()
            self._chosen(low, high)

    def escape(self) -> bool:
        """Drop the end that was chosen."""
        begun, self._first = bool(self._first), ""
        self._surface.show_ghost(Scene())
        return begun

    def _spots(self) -> dict[str, Spot]:
        run = self._bench.run
        return {} if run is None else spots_on(run, self._bench.tracks, int(self._bench.frame))


def _nearest(spots: dict[str, Spot], aim: Aim) -> str:
    """The name of the point under the pointer; empty for none."""
    away = {name: math.dist((spot.u, spot.v), (aim.u, aim.v)) for name, spot in spots.items()}
    name = min(away, key=lambda each: away[each], default="")
    return name if name and away[name] <= REACH_POINTS * aim.px_per_point else ""
