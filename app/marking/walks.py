"""The frames that still want a point, in the order in which a walk visits them."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.values.run import Run
from app.marking.events import events
from app.marking.placing import near_side


@dataclass(frozen=True)
class Stop:
    """One click that a walk asks for: this point on this frame."""

    frame: int
    name: str


def shoe_tip_stops(run: Run) -> tuple[Stop, ...]:
    """The shoe tip of the landing foot at every touchdown."""
    return tuple(
        Stop(f.touchdown, f"{f.side.value}_toe")
        for f in run.footfalls
        if f.touchdown is not None and not f.draft
    )


def hip_stops(run: Run) -> tuple[Stop, ...]:
    """The hip that the camera sees at first movement and at every toe-off and touchdown."""
    name = f"{near_side(run).value}_hip"
    return tuple(Stop(frame, name) for frame in sorted({frame for frame, _ in events(run)}))


def missing(run: Run, stops: tuple[Stop, ...]) -> tuple[Stop, ...]:
    """The stops whose point is not placed yet."""
    placed = {(point.frame, point.name) for point in run.points}
    return tuple(stop for stop in stops if (stop.frame, stop.name) not in placed)


def next_missing(run: Run, stops: tuple[Stop, ...], after_frame: int) -> Stop | None:
    """The first missing stop after a frame, else the first one missing at all."""
    left = missing(run, stops)
    return next((stop for stop in left if stop.frame > after_frame), left[0] if left else None)
