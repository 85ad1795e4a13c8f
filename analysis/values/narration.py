"""A narration: where along a film the coach stops, what is said and drawn there, how it goes on."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from analysis.values.errors import NarrationError
from analysis.values.film import FrameNumber
from analysis.values.words import tr

SLOWEST, FASTEST = 0.01, 1.0
"""Between these shares of real time a film plays on from a stop."""

LONGEST_HOLD_S = 60.0

Zoom = tuple[float, float, float, float]
"""A part of the picture that fills the view: left, top, width, height in pixels of the shown picture."""


class Overlay(StrEnum):
    """What can be drawn over the film at a stop, and from there to the next one."""

    LINES = "lines"  # the coach's lines, and those of trunk and shins, with their angles
    BODY = "body"  # body points
    PATH = "path"  # of the centre of mass
    RAIL = "rail"  # the step rail as a narrow column
    NUMBERS = "numbers"  # of the steps whose events have passed
    OTHER = "other body"  # over each of two films, at their events, the other run's body; both hips together
    OTHER_TOE = "other body at the toe"  # the same, with both stance toes together


@dataclass(frozen=True)
class Stop:
    """A place along the film at which it stands.

    ``frame``: of the first run's film; ``beside``: of the second run's, None where there is one run.
    ``words``: what is said there, shown as its caption. ``drawn``: in the order of ``Overlay``. ``zoom``: of
    the first film; None for the whole picture. ``beside_zoom``: of the second. ``hold_s``: how long the film
    stands where it plays by itself. ``speed_after``: share of real time at which it goes on to the next stop.

    Raises NarrationError where a number can't be.
    """

    id: str
    frame: FrameNumber
    words: str = ""
    drawn: tuple[Overlay, ...] = (Overlay.LINES, Overlay.BODY, Overlay.NUMBERS)
    zoom: Zoom | None = None
    hold_s: float = 3.0
    speed_after: float = 0.25
    beside: FrameNumber | None = None
    beside_zoom: Zoom | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.hold_s <= LONGEST_HOLD_S:
            raise NarrationError(
                tr("The film stands for 0 to {most:g} s at a stop. Choose a time between.").format(
                    most=LONGEST_HOLD_S
                )
            )
        if not SLOWEST <= self.speed_after <= FASTEST:
            raise NarrationError(
                tr(
                    "From a stop the film plays at {least:g} to {most:g} times real time. "
                    "Choose a speed between."
                ).format(least=SLOWEST, most=FASTEST)
            )
        if any(zoom is not None and not _is_part(zoom) for zoom in (self.zoom, self.beside_zoom)):
            raise NarrationError(tr("A stop shows a part of the picture that has a width and a height."))


@dataclass(frozen=True)
class Narration:
    """Stops in the order in which they are presented, over one run or two side by side.

    ``run_ids``: one or two, the first one's clock leads. ``recording_id``: of what the coach spoke over it.
    """

    id: str
    name: str
    run_ids: tuple[str, ...]
    stops: tuple[Stop, ...] = ()
    recording_id: str | None = None

    def __post_init__(self) -> None:
        if len(self.run_ids) not in {1, 2}:
            raise NarrationError(tr("A narration goes over one run, or over two side by side."))

    def stop(self, stop_id: str) -> Stop | None:
        """The stop of that id."""
        return next((one for one in self.stops if one.id == stop_id), None)

    def with_stop(self, stop: Stop, place: int | None = None) -> Narration:
        """With ``stop`` in the place that it had, or at ``place``, or at the end."""
        held = next((n for n, one in enumerate(self.stops) if one.id == stop.id), None)
        rest = [one for one in self.stops if one.id != stop.id]
        at = place if place is not None else held if held is not None else len(rest)
        return replace(self, stops=(*rest[:at], stop, *rest[at:]))

    def without(self, stop_id: str) -> Narration:
        """Without the stop of that id."""
        return replace(self, stops=tuple(one for one in self.stops if one.id != stop_id))


def _is_part(zoom: Zoom) -> bool:
    return all(map(math.isfinite, zoom)) and zoom[2] > 0 and zoom[3] > 0
