"""What is on show where a stop is set, and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

from analysis.report.other_body import Meet
from analysis.values.narration import Zoom
from analysis.values.time_map import IDENTITY, TimeMap
from app.film.mapping import ViewMapping
from app.film.view import FrameView


@dataclass(frozen=True)
class Stand:
    """One or two runs with the frames on show; ``beside_s``: from the first film's time to the second's;
    ``over``: how the other run's body lies over the films, None for not at all.
    """

    run_ids: tuple[str, ...]
    frame: int
    beside: int | None = None
    zoom: Zoom | None = None
    beside_zoom: Zoom | None = None
    speed: float = 1.0
    beside_s: TimeMap = IDENTITY
    over: Meet | None = None

    def led_by(self, run_ids: tuple[str, ...]) -> Stand:
        """The same with the runs in that order."""
        if run_ids == self.run_ids or self.beside is None:
            return self
        knots = tuple((self.beside_s.film_s(first), first) for first, _ in self.beside_s.knots)
        back = TimeMap(knots)
        one = replace(self, run_ids=run_ids, frame=self.beside, zoom=self.beside_zoom, beside_s=back)
        return replace(one, beside=self.frame, beside_zoom=self.zoom)


class Source(Protocol):
    """A workspace on which stops are set."""

    def stand(self) -> Stand | None:
        """What is on show; None where no film is."""

    def pause(self) -> None:
        """Stop playing."""

    def go_to(self, stand: Stand) -> None:
        """Show these frames."""


def zoom_of(view: FrameView) -> Zoom | None:
    """The part of the picture on show; None for the whole of it."""
    if view.is_fitted:
        return None
    (left, top), (right, bottom) = (
        view.mapping.to_picture(*corner) for corner in ((0, 0), (view.width(), view.height()))
    )
    return min(left, right), top, abs(right - left), bottom - top


def framed(zoom: Zoom, room: tuple[float, float], whole: ViewMapping) -> ViewMapping:
    """A part of the picture as large as the room allows, in its middle."""
    left, top, width, height = zoom
    scale = min(room[0] / width, room[1] / height)
    middle = left + width / 2, top + height / 2
    return whole.scaled_so(scale, middle, (room[0] / 2, room[1] / 2))
