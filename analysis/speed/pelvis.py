"""What a single hip hides: the pelvis turns with the legs, and the hip with it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.ground.carried import normal
from analysis.ground.place import HipTrack, Places
from analysis.speed.swing import StepClock

TURN_U_M = 0.0065
"""How far a hip 0.09 m aside goes forward and back as the pelvis turns by some 6 degrees either way once
in two steps, m: standard uncertainty of each half (cosine and sine) of that swing (own assumption)."""


def with_turning_pelvis(track: HipTrack, clock: StepClock) -> HipTrack:
    """The track with the pelvis's turn among the errors that its places share.

    A swing of unknown size and phase, once in two steps, stands in every place that comes from one hip; in
    the middle of both it cancels. So a step velocity from single hips, left and right by turns too high and
    too low, carries it in full, and a mean over two steps next to nothing.
    """
    if not track.single.any():
        return track
    angle = np.pi * clock.phase(track.times_s)
    waves = TURN_U_M * np.stack([np.cos(angle), np.sin(angle)], axis=1) * track.single[:, None]
    old = track.places
    sources = (*old.sources, normal(1.0), normal(1.0))
    return replace(track, places=Places(old.x, old.own, np.hstack([old.shared, waves]), sources))
