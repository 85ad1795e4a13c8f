"""Angles of drawn lines, and of shin and trunk at the events of the steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analysis.body.angle import AngleReader
from analysis.body.segment import SHIN_DOWN, SHIN_OFF, TRUNK, Segment, SegmentReader
from analysis.ground.carried import result
from analysis.steps.events import Event
from analysis.steps.naming import in_steps
from analysis.steps.table import StepTimes
from analysis.values.estimate import NoValue, Result
from analysis.values.reading import LineReading
from analysis.values.run import Line, Side, StartPush
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class EventAngles:
    """Per step, deg: shin of the stance leg at touchdown and toe-off, trunk at touchdown; and notes."""

    shin_touchdown: list[Result]
    shin_toe_off: list[Result]
    trunk_touchdown: list[Result]
    notes: list[str]


def line_readings(lines: Sequence[Line], angles: AngleReader, frames: int) -> tuple[LineReading, ...]:
    """The angle of every drawn line on its own frame."""
    readings = []
    for line in lines:
        if 0 <= line.frame < frames:
            angle = result(angles.read(line.lower, line.upper, line.error_px, line.error_px))
        else:
            angle = NoValue(tr("The line stands on a frame that the film does not hold."))
        readings.append(LineReading(line.id, line.frame, line.kind, line.side, angle))
    return tuple(readings)


def event_angles(
    reader: SegmentReader, steps: Sequence[StepTimes], start: StartPush, seconds: Floats
) -> EventAngles:
    """Shin and trunk at the estimates of the events, from lines on their frames or beside them, else from
    points.
    """
    partial: dict[str, list[int]] = {}
    of_foot = {side: _events_of(side, steps, start, len(seconds)) for side in Side}

    def at(
        segment: Segment,
        side: Side | None,
        event: Event | None,
        missing: str,
        words: str,
        number_of_step: int,
    ) -> Result:
        if event is None:
            return NoValue(missing)
        others = of_foot[side] if side is not None else ()
        number, is_partial = reader.at_event(segment, side, event.frame, event.time, seconds, others)
        if is_partial:
            partial.setdefault(words, []).append(number_of_step)
        return result(number)

    found = EventAngles([], [], [], [])
    for step in steps:
        side, k = step.footfall.side, step.step
        no_down = step.broken or tr("The touchdown of step {step} is not tagged. Tag it.").format(step=k)
        no_off = step.broken or tr("The toe-off of step {step} is not tagged. Tag it.").format(step=k)
        found.shin_touchdown.append(at(SHIN_DOWN, side, step.touchdown, no_down, tr("shin at touchdown"), k))
        found.shin_toe_off.append(at(SHIN_OFF, side, step.toe_off, no_off, tr("shin at toe-off"), k))
        found.trunk_touchdown.append(at(TRUNK, None, step.touchdown, no_down, tr("trunk at touchdown"), k))
    if partial:
        names = "; ".join(
            tr("{name} in {steps}").format(name=name, steps=in_steps(steps_of))
            for name, steps_of in partial.items()
        )
        found.notes.append(
            tr(
                "Partial, read on one frame beside the event: {names}. Nothing shows how fast the angle "
                "changes between the two, so the table of steps gives it a wider ± than the line itself has. "
                "A second line on a neighbouring frame would show it."
            ).format(names=names)
        )
    return found


def _events_of(side: Side, steps: Sequence[StepTimes], start: StartPush, frames: int) -> list[int]:
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
