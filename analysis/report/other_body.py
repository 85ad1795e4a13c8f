"""Another run's body over a frame: at the same event, at the same scale, moved to meet this one's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from analysis.ground.ground import Ground
from analysis.ground.view import View
from analysis.reading.lock import EventKind, Moment, moments
from analysis.reading.parts import ground_of
from analysis.report.body import Spot, body_scene, middle, spots_on
from analysis.report.posture_strip import moment_words
from analysis.report.scene import OtherBody
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.reading import Reading
from analysis.values.run import Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

_TURNS = 6
"""So many steps of Newton's method take metres to pixels: the maps are nearly straight within a body."""
_FOUND_M = 1e-6


class Meet(StrEnum):
    """What of both bodies lies in one place."""

    HIPS = "hips"
    TOE = "stance toe"


@dataclass(frozen=True)
class BodyRun:
    """A run whose body is drawn. ``name``: as the legend has it."""

    evidence: Evidence
    reading: Reading
    name: str = ""

    def moments(self) -> dict[Moment, int]:
        """The frame of every event that is tagged within the film."""
        known = moments(self.evidence.run, self.reading).items()
        return {moment: frame for moment, frame in known if frame < self.evidence.film.frames}

    def spots(self, frame: int) -> dict[str, Spot]:
        """The body's points on a frame."""
        return spots_on(self.evidence.run, self.evidence.tracks, frame)

    def stance(self, moment: Moment) -> Side | None:
        """The foot that is on the ground at an event, or just leaves it."""
        front = self.evidence.run.start.front_side
        if moment.kind is EventKind.REAR_TOE_OFF:
            return None if front is None else front.other
        if moment.kind in (EventKind.FIRST_MOVEMENT, EventKind.FRONT_TOE_OFF):
            return front
        return next((step.side for step in self.reading.steps if step.step == moment.step), None)


def other_body(own: BodyRun, frame: int, other: BodyRun, meet: Meet) -> OtherBody:
    """The other run's body at the event that is tagged on ``frame``, moved so that what is to ``meet`` does.

    It goes by metres of the plane of the run, by each film's own map, so that size, perspective and direction
    are this film's. Without an event there, a map or the points, it says what is missing.
    """
    theirs = other.moments()
    moment = next((m for m, tagged in own.moments().items() if tagged == frame and m in theirs), None)
    if moment is None:
        return OtherBody(tr("{name}: go to an event of both runs").format(name=other.name))
    plane, their_plane = _Plane.of(own.evidence, frame), _Plane.of(other.evidence, theirs[moment])
    if plane is None or their_plane is None:
        return OtherBody(tr("{name}: set marks of known distance in both runs").format(name=other.name))
    spots = other.spots(theirs[moment])
    here = _anchor(own.spots(frame), meet, own.stance(moment))
    there = _anchor(spots, meet, other.stance(moment))
    words = {Meet.HIPS: tr("hips together"), Meet.TOE: tr("stance toes together")}[meet]
    if here is None or there is None:
        missing = {Meet.HIPS: tr("the hips"), Meet.TOE: tr("the stance toe")}[meet]
        need = tr("{name}: place {what} here in both runs").format(name=other.name, what=missing)
        return OtherBody(need)
    away = their_plane.metres([spot.place for spot in spots.values()]) - their_plane.metres([there.place])
    moved = _with_places(spots, plane.pixels(plane.metres([here.place]) + away, here))
    near = other.evidence.run.direction.near_side
    strokes = body_scene(moved, frame, near).strokes
    event = moment_words(moment, None if moment.step == 0 else own.stance(moment))
    said = tr("{name}, {event}, {words}").format(name=other.name, event=event, words=words)
    return OtherBody(said, strokes)


def _with_places(spots: Mapping[str, Spot], places: Floats) -> dict[str, Spot]:
    """The points elsewhere, without those that have no place there."""
    found = zip(spots.items(), places.tolist(), strict=True)
    return {name: replace(spot, u=u, v=v) for (name, spot), (u, v) in found if np.isfinite(u + v)}


def _anchor(spots: Mapping[str, Spot], meet: Meet, stance: Side | None) -> Spot | None:
    """The point of a body that is to meet the other one's."""
    if meet is Meet.HIPS:
        return middle(spots, "hip")
    return None if stance is None else spots.get(f"{stance.value}_toe")


@dataclass(frozen=True, eq=False)
class _Plane:
    """The plane of the run as one frame shows it."""

    view: View
    ground: Ground
    frame: int

    @classmethod
    def of(cls, evidence: Evidence, frame: int) -> _Plane | None:
        """None without a map, or where the frame can't be tied to it."""
        view, ground = ground_of(evidence)
        if isinstance(ground, NoValue) or view.untied([frame])[0]:
            return None
        return cls(view, ground, frame)

    def metres(self, pixels: list[tuple[float, float]]) -> Floats:
        """Places in the plane, m, (n, 2), of pixels of the frame."""
        return self.ground.metres(self._straight(np.array(pixels, dtype=np.float64)))

    def pixels(self, metres: Floats, near: Spot) -> Floats:
        """Pixels of the frame, (n, 2), of places in the plane; NaN where none is found. ``near``: where to
        begin to look.
        """
        start = self._straight(np.array([near.place]))
        found = np.repeat(start, len(metres), axis=0)
        off = metres - self.ground.metres(found)
        for _ in range(_TURNS):
            slope = np.moveaxis(self.ground.pixel_changes(found), 0, -1)  # (n, metres, pixels)
            with np.errstate(invalid="ignore", divide="ignore"):
                found = found + _solved(slope, off)
            off = metres - self.ground.metres(found)
            if np.abs(off).max() < _FOUND_M:
                break
        found[~(np.abs(off).max(axis=1) < _FOUND_M)] = np.nan
        return self.view.seen([self.frame] * len(found), found)

    def _straight(self, pixels: Floats) -> Floats:
        return self.view.straight([self.frame] * len(pixels), pixels)


def _solved(slope: Floats, wanted: Floats) -> Floats:
    """``slope @ x = wanted`` for each of n, (n, 2); NaN where it has no answer."""
    below = np.linalg.det(slope)
    (a, b), (c, d) = ((slope[:, row, 0], slope[:, row, 1]) for row in (0, 1))
    x, y = wanted[:, 0], wanted[:, 1]
    out: Floats = np.column_stack([(d * x - b * y) / below, (a * y - c * x) / below])
    return out
