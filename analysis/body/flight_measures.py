"""Measures of a flight and of what comes just before a touchdown: several frames fitted together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import median

import numpy as np
import numpy.typing as npt

from analysis.body import forms
from analysis.body.centre_of_mass import CentreOfMass, centre_of_mass
from analysis.body.forms import BALL_SHARE, Form, Swing
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces, Moment, on_frame
from analysis.body.posture_measures import (
    Measure,
    Measured,
    MissingPoints,
    form_at,
    least_points,
    missing_points,
    wrapped,
)
from analysis.ground.carried import Carried, Source, combine, normal, weighed
from analysis.values.estimate import NoValue
from analysis.values.run import POINT_NAMES, Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]

GRAVITY_M_S2 = 9.80665
"""Standard gravity, 3rd CGPM 1901; ISO 80000-3."""
LEAST_FRAMES = 3
LIMB_SPEED_U = 1.5
"""How fast the centre of what is missing may move against the rest of the body along each axis, standard
uncertainty, m/s (own assumption)."""
WIDEST_PROJECTION_DEG = 10.0
"""A projection angle whose standard uncertainty is larger cannot be told."""
STRIKE_S = 0.025
"""The shoe's speed is read over so long before a touchdown, s, or over three frames where that is longer (own
assumption)."""
PEAK_S = 0.02
"""A largest angle is read from a parabola over so long on either side, s (own assumption)."""


def slopes(times: Floats, memory: float) -> tuple[Floats, Floats]:
    """A straight line through values at ``times`` (n,): the weights (n,) that give its slope, and how errors
    of unit size go together, (n, n): exp(-|i - j| / memory).
    """
    centred = times - times.sum() / len(times)
    return centred / float(centred @ centred), _together(len(times), memory)


@lru_cache(maxsize=256)
def _together(count: int, memory: float) -> Floats:
    """How errors of so many neighbouring frames go together."""
    apart = np.abs(np.subtract.outer(np.arange(count), np.arange(count)))
    together: Floats = np.exp(-apart / memory) if memory > 0 else np.eye(count)
    together.setflags(write=False)
    return together


def flight_velocity(weights: Floats, times: Floats, places: Floats) -> tuple[float, float]:
    """Velocity (vx, vy) at time 0 of a body in free flight through ``places`` (n, 2) at ``times``: x a
    straight line, y a parabola with g fixed, least squares. ``weights``: those of ``slopes`` there.
    """
    fallen = places[:, 1] + GRAVITY_M_S2 * times**2 / 2
    return float(weights @ places[:, 0]), float(weights @ fallen)


def direction_deg(vx: Carried, vy: Carried) -> Carried:
    """Direction of a velocity above the horizontal, deg, in (-180, 180]."""
    x, y = float(vx.nominal_value), float(vy.nominal_value)
    per = math.degrees(1.0) / (x * x + y * y)
    return weighed((x * per, -y * per), (vy, vx), math.degrees(math.atan2(y, x)))


def projection_angle(body: BodyPlaces, model: MassModel, toe_off: Moment, touchdown: Moment) -> Measure:
    """Direction of the centre of mass's velocity at toe-off above the horizontal, deg: all frames of the
    flight fitted with g fixed, or else those on which trunk and both legs are known. NoValue where the flight
    is too short or too poorly known for it.
    """
    if body.no_scale is not None:
        return body.no_scale
    count = max(0, touchdown.frame - toe_off.frame)
    if count < LEAST_FRAMES:
        return NoValue(
            tr("The flight has {count} frames; its direction needs at least {least}. Film faster.").format(
                count=count, least=LEAST_FRAMES
            )
        )
    frames = list(range(toe_off.frame, min(touchdown.frame, len(body.seconds))))
    here, every_row = body.table.found(np.arange(frames[0], frames[-1] + 1))
    place = body.table.place
    centre = _centre_on_all(model, place, here)
    if isinstance(centre, NoValue):
        complete = _complete(body, place, here)
        if len(complete) < LEAST_FRAMES:
            return _wanted(body, least_points(body.near), frames)
        frames, here, every_row = [frames[n] for n in complete], here[complete], every_row[complete]
        centre = _centre_on_all(model, place, here)
        assert isinstance(centre, CentreOfMass), "trunk and both legs are there"
    times = body.seconds[frames] - toe_off.seconds
    rows = every_row[:, [place[n] for n in centre.weights]].T
    velocity = _velocity(body, centre, rows, times)
    # a toe-off that was later by one second would find the body falling faster by g
    away = toe_off.time - toe_off.seconds
    angle = direction_deg(velocity[0], velocity[1] - GRAVITY_M_S2 * away)
    if angle.std_dev > WIDEST_PROJECTION_DEG:
        return NoValue(
            tr("The direction of the flight cannot be told: it is uncertain by {u} degrees.").format(
                u=round(float(angle.std_dev))
            )
        )
    return Measured(angle, tuple(frames), centre.partial, bool(body.every.guessed[rows].any()))


def _centre_on_all(
    model: MassModel, place: Mapping[str, int], here: npt.NDArray[np.bool_]
) -> CentreOfMass | NoValue:
    """The centre of mass of the points that all of some frames hold. ``place``: of the points among the
    columns of ``here``, which frame holds which, (n, points).
    """
    on_all = set(np.flatnonzero(here.all(axis=0)).tolist())
    return centre_of_mass(model, [n for n in POINT_NAMES if place.get(n) in on_all])


def _complete(body: BodyPlaces, place: Mapping[str, int], here: npt.NDArray[np.bool_]) -> list[int]:
    """The frames, by their rows, that hold a trunk and both legs."""
    least = least_points(body.near)
    if any(name not in place for name in least):
        return []
    found: list[int] = np.flatnonzero(here[:, [place[n] for n in least]].all(axis=1)).tolist()
    return found


def _velocity(body: BodyPlaces, centre: CentreOfMass, rows: Whole, times: Floats) -> list[Carried]:
    """Velocity of the centre of mass at time 0 with the errors of points, map and what is missing. ``rows``:
    of each of its points at these times among all, (p, n).
    """
    weights, together = slopes(times, body.memory)
    every, share = body.every, np.array(list(centre.weights.values()))
    velocity = flight_velocity(
        weights, times, np.matmul(share, every.xy[rows].reshape(len(share), -1)).reshape(-1, 2)
    )
    of_each = np.outer(share, weights)
    moves = (of_each.ravel() @ every.shared[rows].reshape(rows.size, -1)).reshape(2, -1)
    own = (every.own[rows] * of_each[:, :, None]).transpose(2, 0, 1)
    variances = ((own @ together) * own).sum(axis=(1, 2))
    made = []
    for axis in (0, 1):
        parts: dict[Source, float] = {normal(math.sqrt(variances[axis])): 1.0}
        parts |= body.errors.shared_parts(moves[axis].tolist())
        if centre.partial:
            parts[normal((1.0 - centre.mass) * LIMB_SPEED_U)] = 1.0
        made.append(combine(velocity[axis], parts))
    return made


@dataclass(frozen=True)
class Separation:
    """The largest thigh separation of a flight, deg; s from toe-off to it, and from it to the touchdown."""

    largest: Measure
    after_toe_off: Measure
    before_touchdown: Measure


def largest_separation(body: BodyPlaces, toe_off: Moment, touchdown: Moment) -> Separation:
    """The largest thigh separation in flight and its times, from a parabola through the frames around it."""
    form = forms.THIGHS_APART
    swung = _swing(body, form, toe_off, touchdown)
    held = swung.frames
    if len(held) < LEAST_FRAMES:
        lacking = _lacking(body, form.points, toe_off, touchdown)
        return Separation(lacking, lacking, lacking)
    top, time = _peak(body, form, swung)
    guessed = any(body.guessed(body.lines[n], held) for n in form.points)
    kept = tuple(held.tolist())

    def made(value: Carried) -> Measured:
        return Measured(value, kept, False, guessed)

    return Separation(made(top), made(time - toe_off.time), made(touchdown.time - time))


def _swing(body: BodyPlaces, form: Form, toe_off: Moment, touchdown: Moment) -> Swing:
    """A form over the frames of a flight that hold it; worked out once."""
    key = form, toe_off.frame, touchdown.frame
    if key not in body.swings:
        body.swings[key] = _swung(body, form, toe_off, touchdown)
    return body.swings[key]


def _swung(body: BodyPlaces, form: Form, toe_off: Moment, touchdown: Moment) -> Swing:
    frames = np.arange(toe_off.frame, min(touchdown.frame, len(body.seconds)), dtype=np.int64)
    if any(name not in body.lines for name in form.points):
        return Swing(frames[:0], np.zeros(0))
    lines = [body.lines[name] for name in form.points]
    if not all(line.holds_all(frames) for line in lines):
        frames = frames[np.all([line.holds(frames) for line in lines], axis=0)]
    places = np.empty((len(frames), len(lines), 2))
    for column, line in enumerate(lines):
        places[:, column] = line.xy_on(frames)
    return Swing(frames, form.values(places))


def tops(
    body: BodyPlaces, toe_off: Moment, touchdown: Moment, landing: Side
) -> Iterator[tuple[Form, Moment]]:
    """What ``largest_separation`` and ``thigh_return_rate`` read of a flight with its errors."""
    for form in (forms.THIGHS_APART, forms.thigh(landing)):
        swung = _swing(body, form, toe_off, touchdown)
        if len(swung.frames) >= LEAST_FRAMES:
            yield form, on_frame(swung.top, body.seconds)
    yield forms.thigh(landing), touchdown


def _lacking(body: BodyPlaces, names: Sequence[str], toe_off: Moment, touchdown: Moment) -> NoValue:
    """Which points on the first, middle and last frame of a flight would do."""
    flight = range(toe_off.frame, min(touchdown.frame, len(body.seconds)))
    if len(flight) < LEAST_FRAMES:
        return _too_short(len(flight))
    return _wanted(body, names, flight)


def _wanted(body: BodyPlaces, names: Sequence[str], frames: Sequence[int]) -> NoValue:
    """Which of these points the first, the middle and the last of some frames lack."""
    three = dict.fromkeys((frames[0], frames[len(frames) // 2], frames[-1]))
    return missing_points(
        [
            (frame, name)
            for frame in three
            for name in names
            if (line := body.lines.get(name)) is None or line.row(frame) is None
        ]
    )


def _too_short(count: int) -> NoValue:
    return NoValue(tr("The flight has {count} frames: too few for this.").format(count=count))


def _peak(body: BodyPlaces, form: Form, swung: Swing) -> tuple[Carried, Carried]:
    """Value and time of the top of a form through a flight, from a parabola around its largest value."""
    frames, values = swung.frames, swung.values
    times = body.seconds[frames]
    top = swung.row
    near = np.flatnonzero(np.abs(times - times[top]) <= PEAK_S)
    if len(near) < LEAST_FRAMES:
        near = np.arange(max(0, top - 1), min(len(times), top + 2))
    t = times[near] - times[top]
    at, height = 0.0, float(values[top])
    on_top = form_at(body, form, on_frame(swung.top, body.seconds))
    assert isinstance(on_top, Measured), "the frames of a swing hold its points"
    largest = on_top.value
    u_time = median((times[1:] - times[:-1]).tolist()) if len(times) > 1 else PEAK_S
    if len(near) >= LEAST_FRAMES:
        bend, slope, level = _parabola(t, values[near])
        if bend < 0 and t[0] <= -slope / (2 * bend) <= t[-1]:
            at = float(-slope / (2 * bend))
            height = float(level + slope * at + bend * at * at)
            each = float(largest.std_dev) / math.sqrt(len(near))
            about = t - t.sum() / len(t)
            spread = max(math.sqrt(float(about @ about) / len(t)), 1e-6)
            u_time = min(PEAK_S, max(u_time / 2, each / (2 * abs(bend) * spread)))
    value = largest + (height - float(values[top]))
    return value, combine(float(times[top]) + at, {normal(u_time): 1.0})


def _parabola(t: Floats, values: Floats) -> tuple[float, float, float]:
    """``bend t^2 + slope t + level`` through values, least squares; ``t``: (n,), at least three of them."""
    size = float(np.abs(t).max())
    powers = np.ones((len(t), 3))
    powers[:, 1] = t / size
    powers[:, 0] = powers[:, 1] ** 2  # over -1 to 1, where the normal equations are well posed
    bend, slope, level = np.linalg.solve(powers.T @ powers, powers.T @ values).tolist()
    return bend / size**2, slope / size, level


def thigh_return_rate(body: BodyPlaces, side: Side, toe_off: Moment, touchdown: Moment) -> Measure:
    """Mean angular speed of the front thigh from its highest to its touchdown, deg/s. ``side``: whose foot
    touches down.
    """
    form = forms.thigh(side)
    landed = form_at(body, form, touchdown)
    swung = _swing(body, form, toe_off, touchdown)
    if len(swung.frames) < LEAST_FRAMES:
        lacking = _lacking(body, form.points, toe_off, touchdown)
        if isinstance(lacking, MissingPoints) and isinstance(landed, MissingPoints):
            return missing_points([*lacking.points, *landed.points])
        return lacking
    if not isinstance(landed, Measured):
        return landed
    highest, time = _peak(body, form, swung)
    gone = touchdown.time - time
    if gone.nominal_value <= 0:
        return NoValue(tr("The thigh is at its highest at the touchdown itself. Check the touchdown."))
    frames = tuple(sorted({*landed.frames, *swung.frames.tolist()}))
    return landed._replace(value=wrapped(highest - landed.value) / gone, frames=frames)


def shoe_backward_speed(body: BodyPlaces, side: Side, touchdown: Moment) -> Measure:
    """Speed of the ball of the foot against the run, over the ground, in the last 25 ms before its touchdown,
    m/s: minus the slope of a straight line through its places.
    """
    if body.no_scale is not None:
        return body.no_scale
    last = touchdown.frame - 1
    early = int(body.seconds.searchsorted(body.seconds[last] - STRIKE_S - 1e-9))
    frames = range(max(0, min(early, last - LEAST_FRAMES + 1)), last + 1)
    lines = [body.lines.get(f"{side}_{n}") for n in ("heel", "toe")]
    lacking = [
        (f, f"{side}_{n}")
        for n, line in zip(("heel", "toe"), lines, strict=True)
        for f in (frames[0], frames[-1])
        if line is None or line.row(f) is None
    ]
    if lacking:
        return missing_points(lacking)
    known = np.arange(frames.start, frames.stop, dtype=np.int64)
    for line in lines:
        assert line is not None
        if not line.holds_all(known):
            known = known[line.holds(known)]
    times = body.seconds[known]
    weights, together = slopes(times, body.memory)
    speed, variance, guessed = 0.0, 0.0, False
    moves = np.zeros(len(body.sources))
    for line, share in zip(lines, (1 - BALL_SHARE, BALL_SHARE), strict=True):
        assert line is not None
        rows = line.rows(known)
        xy, own, shared = line.xy[rows], line.own[rows], line.shared[rows]
        speed -= share * float(weights @ xy[:, 0])
        part = share * own[:, 0] * weights
        variance += float(part @ together @ part)
        moves -= share * (weights @ shared[:, 0])
        guessed |= body.guessed(line, known)
    parts = {normal(math.sqrt(variance)): 1.0, **body.errors.shared_parts(moves.tolist())}
    return Measured(combine(speed, parts), tuple(known.tolist()), len(known) < len(frames), guessed)
