"""What all repetitions of a film share: the ground, and every placed point on it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from analysis.body.angle import AngleReader
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces, Moment, on_frame
from analysis.body.placing import body_places
from analysis.body.posture_measures import Measure, Measured, trunk_angle
from analysis.body.segment import TRUNK
from analysis.ground.carried import normal
from analysis.ground.ground import Ground
from analysis.ground.straightening import straight_lines
from analysis.reading import parts
from analysis.reading.body import mass_model
from analysis.reading.checks import checked_points
from analysis.steps.events import read_event
from analysis.values.drill_film import DrillEvent, DrillRep
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.film import FrameTimes
from analysis.values.run import Line, LineKind
from analysis.values.words import tr

IMPLEMENT = "implement"
"""The name of the point on a thrown thing: a ball's middle."""

NOT_TAGGED = {
    DrillEvent.SET: "The set position is not tagged. Tag it.",
    DrillEvent.PUSH_OFF: "The push-off is not tagged. Tag it.",
    DrillEvent.RELEASE: "The release is not tagged. Tag it.",
    DrillEvent.LANDING: "The landing is not tagged. Tag it.",
}


@dataclass(frozen=True, eq=False)
class Whole:
    """``body``: points in metres or, without a scale, pixels. ``lines``: drawn trunks, in order of frame."""

    evidence: Evidence
    ground: Ground | NoValue
    body: BodyPlaces
    model: MassModel
    angles: AngleReader
    lines: tuple[Line, ...]
    _moments: dict[int, Moment] = field(default_factory=dict)

    @property
    def times(self) -> FrameTimes:
        """When the film's frames were taken."""
        return self.evidence.film.times

    def at(self, rep: DrillRep, event: DrillEvent) -> Moment | NoValue:
        """The moment of an event; the set position is a frame, the others fell before their frame."""
        frame = rep.frame_of(event)
        if frame is None or not 0 < frame < len(self.times):
            return NoValue(tr(NOT_TAGGED[event]))
        if event is DrillEvent.SET:
            return on_frame(frame, self.body.seconds)
        return self.moment(frame)

    def moment(self, frame: int) -> Moment:
        """When an event tagged on a frame happened; the frame is one of the film's. Asked twice it is the
        same moment, so that its error cancels.
        """
        if frame not in self._moments:
            event = read_event(self.times, frame, None, self.evidence.tagging)
            assert event is not None
            self._moments[frame] = Moment(frame, event.time)
        return self._moments[frame]

    def trunk(self, moment: Moment) -> Measure:
        """Trunk angle at a moment: a line drawn there, else mid-hip to mid-shoulder, deg."""
        there = [line for line in self.lines if moment.frame - 1 <= line.frame <= moment.frame]
        if not there:
            return trunk_angle(self.body, moment)
        line = there[-1]
        angle = self.angles.read(line.lower, line.upper, line.error_px, line.error_px)
        if isinstance(angle, NoValue):
            return angle
        away = float(self.body.seconds[line.frame]) - moment.seconds
        turned = TRUNK.rate_u * math.hypot(away, float(moment.time.std_dev))
        return Measured(angle + normal(turned) + normal(TRUNK.anatomy_deg), (line.frame,), partial=True)


def whole_of(evidence: Evidence) -> Whole:
    """The ground and the points of a film, whatever its repetitions are."""
    run, film = evidence.run, evidence.film
    checked = checked_points(run.points, run.footfalls, run.start, run.direction, film)
    run = run if checked.points is run.points else replace(run, points=checked.points)
    timing = parts.timed((), run.start, film.times, evidence.tagging)
    view, ground = parts.ground_of(replace(evidence, run=run))
    points = parts.pointed(run.points, evidence.tracks, timing, view, isinstance(ground, Ground), film.frames)
    body = body_places(ground, run.direction, points.rows, film.times.seconds, points.used.every.memory)
    trunks = tuple(
        line
        for line in straight_lines(points.view, run.lines)
        if line.kind is LineKind.TRUNK and math.isfinite(sum(line.lower) + sum(line.upper))
    )
    angles = AngleReader(ground, run.direction)
    return Whole(evidence, ground, body, mass_model(evidence.athlete), angles, trunks)
