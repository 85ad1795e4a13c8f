"""The centre of mass as the point whose way gives the speeds, where whole bodies are known."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analysis.body.centre_of_mass import centre_of_mass
from analysis.body.errors import ANATOMY_ELSE_M, ANATOMY_M
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces
from analysis.ground.carried import normal
from analysis.ground.place import HipTrack, Places
from analysis.values.estimate import NoValue
from analysis.values.run import POINT_NAMES
from analysis.values.words import tr

LEAST_SHARE = 0.9
"""Whole bodies must be known on this share of the frames on which the hips are (own)."""


def mass_track(body: BodyPlaces, model: MassModel, hips: HipTrack | NoValue) -> HipTrack | NoValue:
    """The centre of mass on the frames on which the hips are read and the whole body is known, in metres.

    NoValue where these are less than ``LEAST_SHARE`` of them: what is missing moves against the rest within a
    step, and a speed from parts of a body would say so of the athlete.
    """
    if isinstance(hips, NoValue):
        return hips
    names = [name for name in POINT_NAMES if name in body.lines]
    centre = centre_of_mass(model, names)
    weights = {} if isinstance(centre, NoValue) or centre.partial else dict(centre.weights)
    there = np.full(len(hips), bool(weights))
    for name in weights:
        there &= body.lines[name].holds(hips.frames)
    if there.sum() < LEAST_SHARE * len(hips):
        words = tr(
            "The whole body is placed or followed on {count} of {frames} frames that hold a hip, too few to "
            "read speeds from the centre of mass. Place or follow all points there, or read speeds from the "
            "hips."
        )
        return NoValue(words.format(count=int(there.sum()), frames=len(hips)))
    frames, share = hips.frames[there], np.array(list(weights.values()))
    rows = np.stack([body.every.start[n] + body.lines[n].rows(frames) for n in weights])
    under = float(np.linalg.norm(share * [_under_skin(n) for n in weights]))
    shared = np.einsum("p,pns->ns", share, body.every.shared[rows, 0])
    places = Places(
        share @ body.every.xy[rows, 0],
        np.sqrt(share**2 @ body.every.own[rows, 0] ** 2),
        np.hstack([shared, np.full((len(frames), 1), under)]),
        (*body.sources, normal(1.0)),
    )
    return HipTrack(frames, hips.times_s[there], places, np.zeros(len(frames), np.bool_))


def _under_skin(name: str) -> float:
    return ANATOMY_M.get(name.split("_", 1)[-1], ANATOMY_ELSE_M)


def coverage_note(mass: HipTrack | NoValue, hips: HipTrack | NoValue) -> Sequence[str]:
    """That speeds are those of the centre of mass, and on how many frames it is known."""
    if isinstance(mass, NoValue) or isinstance(hips, NoValue):
        return ()
    words = tr(
        "Step velocities, splits and speeds are those of the centre of mass, known on {count} of {frames} "
        "frames that hold a hip. The clock still starts with the hips."
    )
    return (words.format(count=len(mass), frames=len(hips)),)
