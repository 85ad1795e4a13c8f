"""What a jump's repetition says: each flight, and the contact between two."""

from __future__ import annotations

from analysis.body.flight_measures import projection_angle
from analysis.body.places import Place, on_frame
from analysis.body.posture_measures import (
    Asking,
    Measure,
    Measured,
    missing_points,
)
from analysis.reading.drills.whole import NOT_TAGGED, Whole
from analysis.values.comparison import MeasureKey
from analysis.values.drill_film import DrillEvent, DrillRep
from analysis.values.estimate import NoValue
from analysis.values.run import Side
from analysis.values.words import tr

STANDS_M = 0.08
"""A foot whose tip is this much higher than the other's does not stand (own)."""
JUMP_MEASURES = ("jump_projection_deg", "jump_flight_s", "jump_distance_m")
CONTACT = "jump_contact_s"


def jump_measures(whole: Whole, rep: DrillRep) -> dict[MeasureKey, Measure]:
    """The measures of each flight of a repetition, counted from 1 where there are several.

    A flight goes from a push-off to the next landing, a contact from a landing to the next push-off.
    """
    flights = flights_of(rep)
    several = len(flights) > 1
    found: dict[MeasureKey, Measure] = {}
    for n, (off, down) in enumerate(flights, start=1):
        nth = n if several else None
        for name, measure in zip(JUMP_MEASURES, _flight(whole, off, down), strict=True):
            found[MeasureKey(name, step=nth)] = measure
        following = flights[n][0] if n < len(flights) else None
        if down is not None and following is not None:
            length = whole.moment(following).time - whole.moment(down).time
            found[MeasureKey(CONTACT, step=nth)] = Measured(length, (down, following))
    return found


def flights_of(rep: DrillRep) -> list[tuple[int | None, int | None]]:
    """Push-off and landing of each flight, in order; None for one that is not tagged. One at least."""
    flights: list[tuple[int | None, int | None]] = []
    off: int | None = None
    for event, frame in rep.events:
        if event is DrillEvent.PUSH_OFF:
            if off is not None:
                flights.append((off, None))
            off = int(frame)
        elif event is DrillEvent.LANDING:
            flights.append((off, int(frame)))
            off = None
    if off is not None or not flights:
        flights.append((off, None))
    return flights


def _flight(whole: Whole, off: int | None, down: int | None) -> tuple[Measure, Measure, Measure]:
    """Projection angle, deg; flight time, s; distance from shoe tip to shoe tip, m."""
    frames = len(whole.times)
    for frame, event in ((off, DrillEvent.PUSH_OFF), (down, DrillEvent.LANDING)):
        if frame is None or not 0 < frame < frames:
            lacking = NoValue(tr(NOT_TAGGED[event]))
            return lacking, lacking, lacking
    assert off is not None
    assert down is not None
    left, landed = whole.moment(off), whole.moment(down)
    angle = projection_angle(whole.body, whole.model, left, landed)
    flight = Measured(landed.time - left.time, (off, down))
    return angle, flight, _distance(whole, off - 1, down)


def _distance(whole: Whole, stood: int, landed: int) -> Measure:
    """From where the foremost shoe tip stood last to where the foremost one lands, m."""
    if whole.body.no_scale is not None:
        return whole.body.no_scale
    tips = [_standing_tip(whole, frame) for frame in (stood, landed)]
    lacking = [
        (frame, f"{whole.body.near.value}_toe")
        for frame, tip in zip((stood, landed), tips, strict=True)
        if tip is None
    ]
    if tips[0] is None or tips[1] is None:
        return missing_points(lacking)
    return Measured(tips[1].x - tips[0].x, (stood, landed))


def _standing_tip(whole: Whole, frame: int) -> Place | None:
    """The foremost shoe tip of those that stand on a frame: no higher than ``STANDS_M`` above the lowest."""
    asking = Asking(whole.body)
    moment = on_frame(frame, whole.body.seconds)
    there = [
        place
        for name in (f"{side}_toe" for side in Side)
        if (line := whole.body.lines.get(name)) is not None
        and line.row(frame) is not None
        and (place := asking.point(name, moment)) is not None
    ]
    lowest = min((float(place.y.nominal_value) for place in there), default=0.0)
    standing = [place for place in there if float(place.y.nominal_value) <= lowest + STANDS_M]
    return max(standing, key=lambda place: float(place.x.nominal_value), default=None)
