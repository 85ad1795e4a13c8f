"""What is read off several points at one moment: a number, and how it changes with each point's place.

The same for one moment and for many of them at once: places (..., q, 2) in, the numbers (...) and their
changes (..., q, 2) out, in the number's unit per unit of place.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property
from typing import NamedTuple, TypeAlias

import numpy as np
import numpy.typing as npt

from analysis.body.mass_models import MassModel
from analysis.ground.carried import Carried
from analysis.values.run import Side

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
Read: TypeAlias = Callable[[Floats], tuple[Floats, Floats]]
Value: TypeAlias = Callable[[Floats], Floats]

MIDDLES = ("hip", "shoulder")
"""Names that stand for the middle of both sides; a ``MassModel`` stands for the centre of mass by it."""
BALL_SHARE = 0.72
"""The ball of the foot lies this share of the way from the heel to the tip (docs/measures.md)."""


@dataclass(frozen=True, eq=False)
class Form:
    """``points``: those that it rests on, in the order in which ``read`` takes their places; ``quick``: the
    number alone, where it can be had for less. There is one of each, by the functions below, so that one is
    another only where it is the same object.
    """

    points: tuple[str, ...]
    read: Read
    quick: Value | None = None

    def values(self, places: Floats) -> Floats:
        """The numbers without their changes."""
        return self.read(places)[0] if self.quick is None else self.quick(places)


AtMoment: TypeAlias = tuple[Form, int, float]
"""A form, and the frame and seconds of a moment."""


class FormRead(NamedTuple):
    """A form at a moment. ``frames``: those it rests on. ``partial``: a part of the body is missing.
    ``guessed``: a point is hidden there.
    """

    value: Carried
    frames: tuple[int, ...]
    partial: bool
    guessed: bool


@dataclass(frozen=True, eq=False)
class Swing:
    """An angle through a flight: the ``frames`` that hold its points, (n,), and its ``values``, (n,), deg."""

    frames: Whole
    values: Floats

    @cached_property
    def row(self) -> int:
        """Which of them is the one on which it is largest."""
        return int(np.argmax(self.values))

    @property
    def top(self) -> int:
        """The frame on which it is largest."""
        return int(self.frames[self.row])


def _angle(places: Floats) -> tuple[Floats, Floats]:
    span = places[..., 1, :] - places[..., 0, :]
    x, y = span[..., 0], span[..., 1]
    per = math.degrees(1.0) / np.maximum(x * x + y * y, 1e-12)
    changes = np.empty_like(places)
    np.multiply(y, per, out=changes[..., 0, 0])
    np.multiply(x, -per, out=changes[..., 0, 1])
    np.negative(changes[..., 0, :], out=changes[..., 1, :])
    return np.degrees(np.arctan2(y, x)), changes


def _turned(places: Floats) -> Floats:
    span = places[..., 1, :] - places[..., 0, :]
    out: Floats = np.degrees(np.arctan2(span[..., 1], span[..., 0]))
    return out


def _wrapped(angle: Floats) -> Floats:
    out: Floats = 180.0 - (180.0 - angle) % 360.0
    return out


def _bend(places: Floats) -> tuple[Floats, Floats]:
    low, of_low = _angle(places[..., :2, :])
    high, of_high = _angle(places[..., 1:, :])
    middle = of_low[..., 1, :] - of_high[..., 0, :]
    return _wrapped(low - high), np.stack([of_low[..., 0, :], middle, -of_high[..., 1, :]], axis=-2)


def _apart(places: Floats) -> tuple[Floats, Floats]:
    one, of_one = _angle(places[..., :2, :])
    other, of_other = _angle(places[..., 2:, :])
    angle = _wrapped(one - other)
    way = np.where(angle < 0, -1.0, 1.0)
    return way * angle, way[..., None, None] * np.concatenate([of_one, -of_other], axis=-2)


def _turned_apart(places: Floats) -> Floats:
    out: Floats = np.abs(_wrapped(_turned(places[..., :2, :]) - _turned(places[..., 2:, :])))
    return out


def _sum_along(axis: int, *shares: float) -> Read:
    of_each = np.zeros((len(shares), 2))
    of_each[:, axis] = shares

    def read(places: Floats) -> tuple[Floats, Floats]:
        total: Floats = (places * of_each).sum(axis=(-2, -1))
        return total, np.broadcast_to(of_each, places.shape)

    return read


_DIFFERENCE, _HEIGHT = _sum_along(0, 1.0, -1.0), _sum_along(1, 1.0)
_BALL_TO_CENTRE = _sum_along(0, 1.0 - BALL_SHARE, BALL_SHARE, -1.0)


@cache
def angle(lower: str, upper: str) -> Form:
    """Angle in deg of the line between two points: from the forward horizontal, anticlockwise, 90 upright,
    less leans forward (Winter DA (2009), figure of limb angles); in (-180, 180].
    """
    return Form((lower, upper), _angle, _turned)


@cache
def shin(side: Side) -> Form:
    """Ankle to knee, deg."""
    return angle(f"{side}_ankle", f"{side}_knee")


@cache
def thigh(side: Side) -> Form:
    """Knee to hip, deg."""
    return angle(f"{side}_knee", f"{side}_hip")


TRUNK = angle("hip", "shoulder")
"""Mid-hip to mid-shoulder, deg."""
SPINE = Form(("hip", "mid_back", "neck"), _bend)
"""180 - the angle at the mid-back between mid-hip and the base of the neck, deg: 0 is straight, positive
rounded forward.
"""
THIGHS_APART = Form(("left_knee", "left_hip", "right_knee", "right_hip"), _apart, _turned_apart)
"""Angle between the two thighs, deg, from 0."""


@cache
def knee_gap(stance: Side) -> Form:
    """How far the swing knee is in front of that of the stance leg, m; negative is still behind."""
    return Form((f"{stance.other}_knee", f"{stance}_knee"), _DIFFERENCE)


@cache
def ball_to_centre(side: Side, model: MassModel) -> Form:
    """How far the ball of a foot is in front of the centre of mass, m. Ball = heel + 0.72 (tip - heel)."""
    return Form((f"{side}_heel", f"{side}_toe", model), _BALL_TO_CENTRE)


@cache
def mass_height(model: MassModel) -> Form:
    """Height of the centre of mass, m."""
    return Form((model,), _HEIGHT)
