"""What the body did: every measure of launch, swap and strike at its moment, curves over the frames."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar, cast

import numpy as np

from analysis.body import forms
from analysis.body import posture_measures as at
from analysis.body.at_event import Moments, at_events
from analysis.body.at_once import read_ahead
from analysis.body.flight_measures import (
    largest_separation,
    projection_angle,
    shoe_backward_speed,
    thigh_return_rate,
    tops,
)
from analysis.body.forms import Form
from analysis.body.launch_measures import feet_apart, hip_share, trunk_lead, trunk_opening
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces, Moment, on_frame
from analysis.body.posture_measures import Asking, Measure, Measured, MissingPoints, difference
from analysis.body.segment import SHIN_DOWN, SHIN_OFF, TRUNK, Segment
from analysis.ground.carried import estimate
from analysis.reading.posture import SegmentAtEvents, moment_of
from analysis.steps.events import Event
from analysis.steps.table import StartTimes, StepTimes
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.film import FrameNumber
from analysis.values.posture import Moment as When
from analysis.values.posture import PostureReading, Series, Wanted
from analysis.values.run import Athlete, Side, StartPush
from analysis.values.words import tr

A = TypeVar("A")
B = TypeVar("B")
T = TypeVar("T")

REST_S = 0.2
"""The body is taken to rest so long before the first movement, s (measures.md, clock zero)."""
JOINTS = ("thigh_deg", "knee_deg", "hip_deg", "ankle_deg")
"""Angles of either side that every event of the table of posture holds."""


def mass_model(athlete: Athlete | None) -> MassModel:
    """De Leva's table for a woman or a man; Winter's, which has one for both, where nobody said."""
    if athlete is None or athlete.sex not in ("female", "male"):
        return MassModel.WINTER
    return MassModel.DE_LEVA_FEMALE if athlete.sex == "female" else MassModel.DE_LEVA_MALE


@dataclass(frozen=True)
class Rest:
    """The body before it moves: ``frames`` of the rest, and ``shown``, the one that stands for it."""

    frames: tuple[int, ...]
    shown: Moment


def rest_of(body: BodyPlaces, first_frame: int, start: StartPush) -> Rest | NoValue:
    """The rest before the tagged first movement; the frame shown is its last one that holds a hip."""
    if start.first_movement is None:
        return NoValue(tr("The first movement is not tagged. Tag it to read the set position."))
    last = min(int(start.first_movement), len(body.seconds)) - 1
    if last < first_frame:
        return NoValue(tr("The film begins with the first movement: the set position is not in it."))
    begin = float(body.seconds[last]) - REST_S
    first = max(first_frame, int(np.searchsorted(body.seconds, begin - 1e-9)))
    hips = [body.lines[n].frames for n in ("left_hip", "right_hip") if n in body.lines]
    latest = [int(up_to[-1]) for frames in hips if len(up_to := frames[: frames.searchsorted(last, "right")])]
    held = max((f for f in latest if f >= first), default=last)
    return Rest(tuple(range(first, last + 1)), on_frame(held, body.seconds))


class BodyRows:
    """Measures of posture of one run that hang on its points alone, in order of step and moment."""

    def __init__(self, body: BodyPlaces, model: MassModel, series: Sequence[Series]) -> None:
        self._body = body
        self._model = model
        self._series = {(s.measure, s.side): s for s in series}
        self._height: Measure | None = None
        self._foot: Measure | None = None
        self._events: list[tuple[int, When, Moment]] = []
        self.rows: list[PostureReading] = []

    def ahead(
        self, rest: Rest | NoValue, start: StartPush, times: StartTimes, steps: Sequence[StepTimes]
    ) -> None:
        """Read at once what ``start``, ``step`` and the angles of shin and trunk will ask of the points."""
        read_ahead(self._body, self._asked(rest, start, times, steps))

    def _asked(
        self, rest: Rest | NoValue, start: StartPush, times: StartTimes, steps: Sequence[StepTimes]
    ) -> Iterator[tuple[Form, Moment]]:
        if not isinstance(rest, NoValue):
            yield forms.SPINE, rest.shown
            yield forms.TRUNK, rest.shown
        off, falls = front_off(times), list(steps)
        if not isinstance(off, NoValue) and start.front_side is not None:
            yield from self._asked_of(off, start.front_side)
        for step, after in zip([None, *falls], [*falls, None], strict=True):
            if step is not None:
                side = step.footfall.side
                down, off = step_moments(step)
                for moment in (down, off):
                    if not isinstance(moment, NoValue):
                        yield from self._asked_of(moment, side)
                if not isinstance(down, NoValue) and self._body.in_metres:
                    yield forms.knee_gap(side), down
            if after is not None and after.touchdown is not None and not isinstance(off, NoValue):
                yield from tops(self._body, off, moment_of(after.touchdown), after.footfall.side)

    def _asked_of(self, moment: Moment, side: Side) -> Iterator[tuple[Form, Moment]]:
        """What a touchdown or toe-off of a foot asks."""
        yield forms.TRUNK, moment
        yield forms.shin(side), moment
        if self._body.in_metres:
            yield forms.ball_to_centre(side, self._model), moment
            yield forms.mass_height(self._model), moment

    def start(
        self, rest: Rest | NoValue, start: StartPush, times: StartTimes, first: StepTimes | None
    ) -> None:
        """The set position, the push, the front foot's toe-off and the flight to the first touchdown."""
        body = self._body
        off = front_off(times)
        adder = self._adder(0, When.SET, rest)
        adder("spine_bend_deg", lambda r: at.spine_bend(body, r.shown))
        adder("feet_apart_m", lambda r: feet_apart(body, r.shown))
        adder("to_line_m", lambda r: self._to_line(r.shown))
        if not isinstance(rest, NoValue):
            self._events.append((0, When.SET, rest.shown))
        push = self._adder(0, When.PUSH, both(rest, off))
        push("trunk_lead_deg", lambda p: trunk_lead(body, p[0].frames, p[1].frame))
        push("hip_share", lambda p: hip_share(body, p[0].shown, p[1]))
        push("trunk_opening_deg", lambda p: trunk_opening(body, p[0].frames, p[1]))
        if start.front_side is not None:
            self._leave(0, off, start.front_side)
        down = first.touchdown if first is not None else None
        landing = None if first is None else first.footfall.side
        self._flight(0, off, down, landing, times.broken or (first.broken if first else None))

    def step(self, step: StepTimes) -> None:
        """Touchdown, toe-off and the flight after it."""
        body, model, side, k = self._body, self._model, step.footfall.side, step.step
        down, off = step_moments(step)
        land = self._adder(k, When.TOUCHDOWN, down, side)
        foot = down if isinstance(down, NoValue) else at.foot_distance(body, side, down, model)
        self._add(k, When.TOUCHDOWN, "touchdown_distance_m", side, foot)
        if self._foot is not None:
            self._add(k, When.TOUCHDOWN, "touchdown_distance_rise_m", side, at.less(foot, self._foot))
        self._foot = foot
        land("knee_gap_m", lambda m: at.knee_gap(body, side, m))
        height = down if isinstance(down, NoValue) else at.mass_height(body, down, model)
        self._add(k, When.TOUCHDOWN, "com_height_m", side, height)
        if self._height is not None:
            self._add(k, When.TOUCHDOWN, "com_rise_m", side, at.less(height, self._height))
        self._height = height
        land("shoe_backward_speed_m_s", lambda m: shoe_backward_speed(body, side, m))
        if not isinstance(down, NoValue):
            self._events.append((k, When.TOUCHDOWN, down))
        self._leave(k, off, side)
        self._flight(k, off, step.next_touchdown, side.other, step.broken)

    def joints(self) -> None:
        """Angles of either side's joints at the set position and at every event so far, those that can be
        read.
        """
        moments = Moments([moment for _, _, moment in self._events])
        if not moments.each:
            return
        keys = [(measure, side) for side in Side for measure in JOINTS if (measure, side) in self._series]
        read = [at_events(self._series[key], moments, self._body.seconds) for key in keys]
        for (k, when, _), *found in zip(self._events, *read, strict=True):
            for (measure, side), one in zip(keys, found, strict=True):
                if one is not None:
                    value, u, held, partial, guessed = one
                    shown = Estimate(value, u, value - 1.96 * u, value + 1.96 * u)
                    frames = cast("tuple[FrameNumber, ...]", held)
                    self.rows.append(PostureReading(measure, k, when, side, shown, frames, partial, guessed))

    def _leave(self, k: int, off: Moment | NoValue, side: Side) -> None:
        """A foot's toe-off."""
        body, model = self._body, self._model
        leave = self._adder(k, When.TOE_OFF, off, side)
        leave("toe_off_distance_m", lambda m: at.foot_distance(body, side, m, model))
        leave("com_height_m", lambda m: at.mass_height(body, m, model))
        if not isinstance(off, NoValue):
            self._events.append((k, When.TOE_OFF, off))

    def _flight(
        self, k: int, off: Moment | NoValue, down: Event | None, landing: Side | None, broken: str | None
    ) -> None:
        body = self._body
        after = (
            NoValue(broken or tr("The next touchdown is not tagged. Tag it."))
            if down is None
            else moment_of(down)
        )
        flight = both(off, after)
        self._adder(k, When.FLIGHT, flight)(
            "projection_deg", lambda p: projection_angle(body, self._model, p[0], p[1])
        )
        if isinstance(flight, NoValue):
            parts: list[Measure] = [flight] * 3
        else:
            apart = largest_separation(body, *flight)
            parts = [apart.largest, apart.after_toe_off, apart.before_touchdown]
        names = ("thigh_separation_deg", "separation_after_toe_off_s", "separation_before_touchdown_s")
        for name, found in zip(names, parts, strict=True):
            self._add(k, When.FLIGHT, name, None, found)
        if landing is not None:
            self._adder(k, When.FLIGHT, flight, landing)(
                "thigh_return_rate_deg_s", lambda p: thigh_return_rate(body, landing, p[0], p[1])
            )

    def _to_line(self, moment: Moment) -> Measure:
        """How far the centre of mass is behind the start line, m: negative is behind."""
        if self._body.no_scale is not None:
            return self._body.no_scale
        asking = Asking(self._body)
        centre = asking.mass_centre(self._model, moment)
        return asking.result(None if centre is None else centre.x)

    def _adder(
        self, k: int, when: When, known: T | NoValue, side: Side | None = None
    ) -> Callable[[str, Callable[[T], Measure]], None]:
        """Adds a measure of what is known, or says what is missing."""

        def add(measure: str, of: Callable[[T], Measure]) -> None:
            self._add(k, when, measure, side, known if isinstance(known, NoValue) else of(known))

        return add

    def _add(self, k: int, when: When, measure: str, side: Side | None, found: Measure) -> None:
        self.rows.append(posture_row(k, when, measure, side, found))


def posture_row(
    k: int, when: When, measure: str, side: Side | None, found: Measure, shown: Result | None = None
) -> PostureReading:
    """A measure as a reading shows it; ``shown``: its number, where that is known already."""
    if not isinstance(found, Measured):
        return PostureReading(measure, k, when, side, NoValue(found.reason), wanted=_wanted(found))
    frames = cast("tuple[FrameNumber, ...]", found.frames)
    number = shown or estimate(found.value)
    closer = cast("Wanted", found.closer)
    return PostureReading(measure, k, when, side, number, frames, found.partial, found.guessed, (), closer)


def trunk_rows(
    trunks: SegmentAtEvents, rest: Rest | NoValue, start: StartTimes, steps: Sequence[StepTimes]
) -> list[PostureReading]:
    """The trunk in the set position, at the front foot's toe-off, and at every touchdown and toe-off."""
    asked: list[tuple[int, When, Moment | NoValue]] = [
        (0, When.SET, rest if isinstance(rest, NoValue) else rest.shown),
        (0, When.TOE_OFF, front_off(start)),
    ]
    for step in steps:
        down, off = step_moments(step)
        asked += [(step.step, When.TOUCHDOWN, down), (step.step, When.TOE_OFF, off)]
    return [_angle_row(trunks, TRUNK, "trunk_deg", k, when, None, moment) for k, when, moment in asked]


def leg_rows(
    side: Side,
    shins: SegmentAtEvents,
    trunks: SegmentAtEvents,
    start: StartPush,
    times: StartTimes,
    steps: Sequence[StepTimes],
) -> list[PostureReading]:
    """Shin, trunk against shin, and how far the shin turns through the contact, of one leg's contacts."""
    rows = []

    def leave(k: int, off: Moment | NoValue) -> None:
        rows.append(_angle_row(shins, SHIN_OFF, "shin_deg", k, When.TOE_OFF, side, off))
        match = (
            off if isinstance(off, NoValue) else difference(trunks.at(TRUNK, off), shins.at(SHIN_OFF, off))
        )
        rows.append(posture_row(k, When.TOE_OFF, "trunk_shin_match_deg", side, match))

    if start.front_side is side:
        leave(0, front_off(times))
    for step in steps:
        if step.footfall.side is not side:
            continue
        down, off = step_moments(step)
        rows.append(_angle_row(shins, SHIN_DOWN, "shin_deg", step.step, When.TOUCHDOWN, side, down))
        leave(step.step, off)
        contact = both(down, off)
        sweep = (
            contact
            if isinstance(contact, NoValue)
            else difference(shins.at(SHIN_DOWN, contact[0]), shins.at(SHIN_OFF, contact[1]))
        )
        rows.append(posture_row(step.step, When.TOE_OFF, "shin_sweep_deg", side, sweep))
    return rows


def _angle_row(
    of: SegmentAtEvents,
    segment: Segment,
    measure: str,
    k: int,
    when: When,
    side: Side | None,
    moment: Moment | NoValue,
) -> PostureReading:
    if isinstance(moment, NoValue):
        return posture_row(k, when, measure, side, moment)
    return posture_row(k, when, measure, side, of.at(segment, moment), of.shown(segment, moment))


def front_off(times: StartTimes) -> Moment | NoValue:
    """The front foot's toe-off."""
    if times.front_toe_off is not None:
        return moment_of(times.front_toe_off)
    return NoValue(times.broken or tr("The front foot's toe-off is not tagged. Tag it."))


def step_moments(step: StepTimes) -> tuple[Moment | NoValue, Moment | NoValue]:
    """A step's touchdown and toe-off."""
    k = step.step
    no_down = tr("The touchdown of step {step} is not tagged. Tag it.").format(step=k)
    no_off = tr("The toe-off of step {step} is not tagged. Tag it.").format(step=k)
    return (
        NoValue(step.broken or no_down) if step.touchdown is None else moment_of(step.touchdown),
        NoValue(step.broken or no_off) if step.toe_off is None else moment_of(step.toe_off),
    )


def _wanted(found: Measure) -> tuple[tuple[FrameNumber, str], ...]:
    if not isinstance(found, MissingPoints):
        return ()
    return tuple((FrameNumber(frame), name) for frame, name in found.points)


def both(one: A | NoValue, other: B | NoValue) -> tuple[A, B] | NoValue:
    """Both, or the sentence that says which is missing."""
    if isinstance(one, NoValue):
        return one
    return other if isinstance(other, NoValue) else (one, other)


def in_order(rows: Iterable[PostureReading]) -> tuple[PostureReading, ...]:
    """By step, then by moment as they follow each other."""
    order = {when: n for n, when in enumerate(When)}
    return tuple(sorted(rows, key=lambda row: (row.step, order[row.moment])))
