"""Measures of posture at one moment and between two, each with the frames that it rests on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from analysis.body import forms
from analysis.body.centre_of_mass import centre_of_mass
from analysis.body.forms import MIDDLES, Form
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces, Moment, Place
from analysis.ground.carried import Carried, moved, normal, weighed, widened
from analysis.values.estimate import NoValue
from analysis.values.point_names import point_words
from analysis.values.run import POINT_NAMES, Side
from analysis.values.words import tr


@dataclass(frozen=True)
class MissingPoints(NoValue):
    """No number for want of points: ``points`` names (frame, point) of those that would answer it."""

    points: tuple[tuple[int, str], ...] = ()

    @property
    def clicks(self) -> int:
        """How many clicks that costs."""
        return len(self.points)


class Measured(NamedTuple):
    """A number with its error. ``frames``: what it rests on. ``partial``, ``guessed``: see Place. ``closer``:
    (frame, point) of the other side's hip or shoulder, where one side stands for both.
    """

    value: Carried
    frames: tuple[int, ...]
    partial: bool = False
    guessed: bool = False
    closer: tuple[tuple[int, str], ...] = ()


Measure = Measured | NoValue


@dataclass
class Asking:
    """Collects what one measure rests on and what it lacks."""

    body: BodyPlaces
    missing: list[tuple[int, str]] = field(default_factory=list)
    frames: set[int] = field(default_factory=set)
    partial: bool = False
    guessed: bool = False
    closer: list[tuple[int, str]] = field(default_factory=list)

    def point(self, name: str, moment: Moment) -> Place | None:
        """A point; noted as missing where it is not there."""
        return self._noted(self.body.at(name, moment), [name], moment)

    def middle(self, joint: str, moment: Moment) -> Place | None:
        """The middle of both sides; the near side is asked for where neither is there."""
        near = f"{self.body.near}_{joint}"
        self.one_sided(joint, [f for f in (moment.frame, moment.frame - 1) if f >= 0])
        return self._noted(self.body.middle(joint, moment), [near], moment)

    def one_sided(self, joint: str, frames: Sequence[int]) -> None:
        """Note the other side where on none of these frames both stand: on the first that holds one side."""
        lines = {side: self.body.lines.get(f"{side}_{joint}") for side in Side}
        held = {side: [f for f in frames if line and line.row(f) is not None] for side, line in lines.items()}
        alone = [side for side in Side if held[side] and not held[side.other]]
        self.closer += [(held[side][0], f"{side.other}_{joint}") for side in alone]

    def mass_centre(self, model: MassModel, moment: Moment) -> Place | None:
        """The centre of mass; where too little is placed, what a trunk and two legs need is asked for."""
        key = (model, moment.frame, moment.seconds)
        if key in self.body.centres:
            return self._noted(self.body.centres[key], [], moment)
        standing = self.body.on(moment.frame) | self.body.on(moment.frame - 1)
        there = [name for name in POINT_NAMES if name in standing]
        found = centre_of_mass(model, there)
        if isinstance(found, NoValue):
            return self._noted(
                None, [name for name in least_points(self.body.near) if name not in there], moment
            )
        whole = self.body.weighted(found.weights, moment)
        if found.partial:
            x, y = (widened(of, normal(found.u_m)) for of in (whole.x, whole.y))
            whole = Place(x, y, whole.frames, True, whole.guessed)
        self.body.centres[key] = whole
        return self._noted(whole, [], moment)

    def form(self, form: Form, moment: Moment) -> Measure:
        """A form at a moment."""
        places = [self._of_form(name, moment) for name in form.points]
        there = [place for place in places if place is not None]
        return self.result(carried(form, there) if len(there) == len(places) else None)

    def _of_form(self, name: str, moment: Moment) -> Place | None:
        if isinstance(name, MassModel):
            return self.mass_centre(name, moment)
        return self.middle(name, moment) if name in MIDDLES else self.point(name, moment)

    def result(self, value: Carried | None) -> Measure:
        """The measure, or what it lacks."""
        if self.missing or value is None:
            return missing_points(self.missing)
        closer = tuple(dict.fromkeys(self.closer))
        return Measured(value, tuple(sorted(self.frames)), self.partial, self.guessed, closer)

    def _noted(self, place: Place | None, names: list[str], moment: Moment) -> Place | None:
        if place is None:
            self.missing += [(moment.frame, n) for n in names if (moment.frame, n) not in self.missing]
            return None
        self.frames.update(place.frames)
        self.partial |= place.partial
        self.guessed |= place.guessed
        return place


def missing_points(points: list[tuple[int, str]]) -> MissingPoints:
    """What is missing, in words, frame by frame."""
    return MissingPoints(tr("Place {points}.").format(points=points_words(points)), tuple(points))


def points_words(points: Iterable[tuple[int, str]]) -> str:
    """(frame, point) in words, frame by frame: "on frame 83 left hip, left shoulder; on frame 132 head"."""
    on: dict[int, list[str]] = {}
    for frame, name in points:
        on.setdefault(frame, []).append(point_words(name))
    words = tr("on frame {frame} {points}")
    return "; ".join(words.format(frame=f, points=", ".join(names)) for f, names in on.items())


def least_points(near: Side) -> list[str]:
    """The points of a trunk and two legs, near side first."""
    joints = ("hip", "knee", "ankle", "heel", "toe")
    return [f"{near}_shoulder"] + [f"{s}_{j}" for s in (near, near.other) for j in joints]


def carried(form: Form, places: Sequence[Place]) -> Carried:
    """The number of a form whose points are at these places."""
    at = [(float(place.x.nominal_value), float(place.y.nominal_value)) for place in places]
    value, changes = form.read(np.array(at))
    axes = [axis for place in places for axis in (place.x, place.y)]
    shares = changes.ravel().tolist()
    kept = [n for n, share in enumerate(shares) if share]
    return weighed([shares[n] for n in kept], [axes[n] for n in kept], float(value))


def angle_of(lower: Place, upper: Place) -> Carried:
    """Angle in deg of the vector from the lower to the upper place, as ``forms.angle``."""
    return carried(forms.TRUNK, (lower, upper))


def wrapped(angle: Carried) -> Carried:
    """The same angle in (-180, 180]."""
    value = 180.0 - (180.0 - float(angle.nominal_value)) % 360.0
    return angle if value == angle.nominal_value else moved(angle, value)


def form_at(body: BodyPlaces, form: Form, moment: Moment) -> Measure:
    """A form at a moment, as it was read ahead, else now."""
    known = body.ahead.get((form, moment.frame, moment.seconds))
    if known is None:
        return Asking(body).form(form, moment)
    return Measured(known.value, known.frames, known.partial, known.guessed)


def shin_angle(body: BodyPlaces, side: Side, moment: Moment) -> Measure:
    """Ankle to knee, deg."""
    return form_at(body, forms.shin(side), moment)


def trunk_angle(body: BodyPlaces, moment: Moment) -> Measure:
    """Mid-hip to mid-shoulder, deg."""
    return form_at(body, forms.TRUNK, moment)


def difference(one: Measure, other: Measure) -> Measure:
    """One angle less another, deg, in (-180, 180]; see ``less``."""
    found = less(one, other)
    return found._replace(value=wrapped(found.value)) if isinstance(found, Measured) else found


def less(one: Measure, other: Measure) -> Measure:
    """One measure less another with what both rest on; what both lack where one can't be read."""
    if isinstance(one, Measured) and isinstance(other, Measured):
        frames = tuple(sorted({*one.frames, *other.frames}))
        value = one.value - other.value
        partial, guessed = one.partial or other.partial, one.guessed or other.guessed
        return Measured(value, frames, partial, guessed, tuple(dict.fromkeys(one.closer + other.closer)))
    lacking = [m for m in (one, other) if isinstance(m, NoValue)]
    points = [p for m in lacking if isinstance(m, MissingPoints) for p in m.points]
    reason = " ".join(dict.fromkeys(m.reason for m in lacking))
    return MissingPoints(reason, tuple(dict.fromkeys(points)))


def spine_bend(body: BodyPlaces, moment: Moment) -> Measure:
    """180 - the angle at the mid-back between mid-hip and the base of the neck, deg: 0 is straight, positive
    rounded forward.
    """
    return form_at(body, forms.SPINE, moment)


def knee_gap(body: BodyPlaces, stance: Side, moment: Moment) -> Measure:
    """How far the swing knee is in front: its x - x of the stance knee, m; negative is still behind."""
    if body.no_scale is not None:
        return body.no_scale
    return form_at(body, forms.knee_gap(stance), moment)


def foot_distance(body: BodyPlaces, side: Side, moment: Moment, model: MassModel) -> Measure:
    """How far the ball of the stance foot is in front of the centre of mass, m: touchdown distance at
    touchdown (positive is in front), toe-off distance at toe-off (negative pushes from behind).
    """
    if body.no_scale is not None:
        return body.no_scale
    return form_at(body, forms.ball_to_centre(side, model), moment)


def mass_height(body: BodyPlaces, moment: Moment, model: MassModel) -> Measure:
    """Height of the centre of mass, m."""
    if body.no_scale is not None:
        return body.no_scale
    return form_at(body, forms.mass_height(model), moment)
