"""Angles of drawn lines, and of shin and trunk at the events of the steps."""

from __future__ import annotations

import math
from collections.abc import Sequence

from analysis.body.angle import AngleReader, LineAngle
from analysis.body.places import BodyPlaces, Moment, on_frame
from analysis.body.posture_measures import (
    Measure,
    Measured,
    MissingPoints,
    shin_angle,
    trunk_angle,
    wrapped,
)
from analysis.body.segment import Segment, SegmentReader
from analysis.ground.carried import normal, result, widened
from analysis.ground.points import PointsByName
from analysis.steps.events import Event
from analysis.steps.naming import in_steps
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue, Result
from analysis.values.posture import Moment as When
from analysis.values.posture import PostureReading
from analysis.values.reading import LineReading
from analysis.values.run import Line, Side, StartPush
from analysis.values.words import tr

MOST_LINES = 2000
"""So many readings of lines are kept beside those in use."""


class LineReader:
    """The angle of every drawn line on its own frame; a line that was read before is not read again."""

    def __init__(self, angles: AngleReader, frames: int) -> None:
        self._angles, self._frames = angles, frames
        self._known: dict[Line, LineReading] = {}

    def read(self, lines: Sequence[Line]) -> tuple[LineReading, ...]:
        """The readings, in the order of the lines."""
        if len(self._known) > MOST_LINES + len(lines):
            self._known.clear()
        found = []
        for line in lines:
            known = self._known.get(line)
            if known is None:
                known = self._known[line] = self._of(line)
            found.append(known)
        return tuple(found)

    def _of(self, line: Line) -> LineReading:
        if 0 <= line.frame < self._frames:
            angle = result(self._angles.read(line.lower, line.upper, line.error_px, line.error_px))
        else:
            angle = NoValue(tr("The line stands on a frame that the film does not hold."))
        return LineReading(line.id, line.frame, line.kind, line.side, angle)


class SegmentAtEvents:
    """One segment at the estimates of events: from lines on their frames or beside them, else from points.

    ``lines``: those along the segment. ``drawn``: placed points, where none were followed. ``body``: of all
    points. ``of_foot``: frames of the events of the foot that the segment stands on. Asked twice for a
    moment it gives the same number.
    """

    def __init__(
        self,
        side: Side | None,
        lines: Sequence[Line],
        drawn: PointsByName,
        angles: AngleReader,
        body: BodyPlaces,
        of_foot: Sequence[int],
    ) -> None:
        self._side, self._body, self._of_foot = side, body, of_foot
        self._reader = SegmentReader(lines, drawn, angles)
        self._seconds: list[float] = body.seconds.tolist()
        self._known: dict[tuple[Segment, int, float], tuple[Measure, Result]] = {}

    def at(self, segment: Segment, moment: Moment) -> Measure:
        """The angle, deg, with all its errors."""
        return self._both(segment, moment)[0]

    def shown(self, segment: Segment, moment: Moment) -> Result:
        """The same as a reading shows it."""
        return self._both(segment, moment)[1]

    def _both(self, segment: Segment, moment: Moment) -> tuple[Measure, Result]:
        key = (segment, moment.frame, moment.seconds)
        if key not in self._known:
            found = self._read(segment, moment)
            shown = result(found.value) if isinstance(found, Measured) else NoValue(found.reason)
            self._known[key] = (found, shown)
        return self._known[key]

    def _read(self, segment: Segment, moment: Moment) -> Measure:
        side, body = self._side, self._body
        number, partial, frames = self._reader.at_event(
            segment, side, moment.frame, moment.time, self._seconds, self._of_foot
        )
        if not isinstance(number, NoValue):
            used = self._reader.beside(
                segment, side, moment.frame, moment.seconds, self._seconds, self._of_foot
            )
            found = Measured(number, frames, partial)
            one_side = side is None and used is not None and self._reader.one_side_on(segment, used)
            return self._as_middle(found, segment, used) if one_side and used is not None else found
        by_points = trunk_angle(body, moment) if side is None else shin_angle(body, side, moment)
        if isinstance(by_points, MissingPoints):
            return MissingPoints(number.reason, by_points.points)
        return by_points

    def _as_middle(self, found: Measured, segment: Segment, frame: int) -> Measured:
        """A trunk's angle told by one side's points: set right by how far that side lies nearer to the
        camera, and less sure by how that may be off and how shoulders and hips turn.
        """
        on = on_frame(frame, self._body.seconds)
        middle, seen = trunk_angle(self._body, on), self._reader.on_frame(segment, None, frame)
        if not isinstance(middle, Measured) or not isinstance(seen, LineAngle):
            return found
        anatomy = self._body.in_metres * segment.anatomy_deg
        more = middle.value.std_dev**2 - seen.carried().std_dev ** 2 - anatomy**2
        moved = wrapped(middle.value - seen.value).nominal_value
        value = widened(found.value + float(moved), normal(math.sqrt(max(0.0, float(more)))))
        return found._replace(value=value, partial=True, closer=middle.closer)


def partial_notes(rows: Sequence[PostureReading]) -> list[str]:
    """A note on the angles of the step table that are partial, with their steps."""
    partial: dict[str, list[int]] = {}
    names = {
        ("shin_deg", When.TOUCHDOWN): tr("shin at touchdown"),
        ("shin_deg", When.TOE_OFF): tr("shin at toe-off"),
        ("trunk_deg", When.TOUCHDOWN): tr("trunk at touchdown"),
    }
    shown = [
        row
        for row in rows
        if row.partial and row.step and (row.measure, row.moment) in names
        if len(row.frames) == 1 or not row.closer  # one side for both is another reason
    ]
    order = list(names)
    for row in sorted(shown, key=lambda row: (row.step, order.index((row.measure, row.moment)))):
        partial.setdefault(names[row.measure, row.moment], []).append(row.step)
    if not partial:
        return []
    listed = "; ".join(
        tr("{name} in {steps}").format(name=name, steps=in_steps(steps_of))
        for name, steps_of in partial.items()
    )
    return [
        tr(
            "Partial, read on one frame beside the event: {names}. Nothing shows how fast the angle "
            "changes between the two, so the table of steps gives it a wider ± than the line itself has. "
            "A second line on a neighbouring frame would show it."
        ).format(names=listed)
    ]


def moment_of(event: Event) -> Moment:
    """A tagged event as a moment of the body."""
    return Moment(event.frame, event.time)


def events_of(side: Side, steps: Sequence[StepTimes], start: StartPush, frames: int) -> list[int]:
    """Frames of the events of a foot, those of the start push too."""
    found = [
        event.frame
        for step in steps
        if step.footfall.side is side
        for event in (step.touchdown, step.toe_off)
        if event is not None
    ]
    if start.front_side is not None:
        off = start.front_toe_off if start.front_side is side else start.rear_toe_off
        if off is not None and 0 <= off < frames:
            found.append(int(off))
    return found
