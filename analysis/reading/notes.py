"""What a reading says of its own limits."""

from __future__ import annotations

import math

import numpy as np

from analysis.ground.carried import Number
from analysis.ground.ground import Ground
from analysis.ground.place import HipTrack
from analysis.steps.retagging import tagging_words
from analysis.values.estimate import NoValue
from analysis.values.reading import PairReading
from analysis.values.run import Run
from analysis.values.tagging import TaggingError
from analysis.values.words import signed, tr

EXTRAPOLATED_M = 0.3
"""How far beyond the outermost marks a place must lie to be said, m."""
ALTERNATING_M_S = 0.1
"""How far a single hip puts a step's velocity up or down, left and right opposite, m/s: a pelvis that turns
by 8 degrees either way moves a hip that lies 0.09 m aside by 2.5 cm from touchdown to touchdown (own)."""


def pair_notes(
    pairs: tuple[PairReading, ...], rate_hz: float | None, frames_decide: bool, tagging: TaggingError | None
) -> list[str]:
    """How many step-to-step differences can't be told, and whether the frame rate or the tags decide.
    ``tagging``: the coach's own tagging error, where it was measured.
    """
    notes = []
    for measure, words in (("contact_s", tr("contact time")), ("flight_s", tr("flight time"))):
        read_ones = [p for p in pairs if p.measure == measure and not isinstance(p.difference, NoValue)]
        untold = [p for p in read_ones if not p.told_apart]
        if untold and rate_hz is not None:
            at_rate = tr(
                "Step to step, {untold} of {count} differences in {measure} cannot be told apart at this "
                "frame rate ({rate:.0f} a second)."
            )
            in_doubt = tr(
                "Step to step, {untold} of {count} differences in {measure} lie within the doubt of the tags."
            )
            if tagging is None:
                in_doubt += " " + tr("A blind second tagging would show how large that is.")
            words_for = at_rate if frames_decide else in_doubt
            notes.append(
                words_for.format(untold=len(untold), count=len(read_ones), measure=words, rate=rate_hz)
            )
    return notes


def tagging_notes(tagging: TaggingError | None) -> list[str]:
    """On what the doubt of tags rests, where it was measured."""
    return [] if tagging is None else [tagging_words(tagging)]


def mark_doubts(run: Run, ground: Ground | NoValue) -> tuple[str, ...]:
    """What questions the marks: those that contradict each other or disagree."""
    if not isinstance(ground, NoValue):
        return ground.doubts
    return (ground.reason,) if len(run.marks) > 1 else ()


def place_notes(
    marked: bool, ground: Ground | NoValue, track: HipTrack | NoValue, shoes: list[Number]
) -> list[str]:
    """What the scale, single hips and extrapolated places do to the numbers. ``marked``: any mark was
    placed.
    """
    if isinstance(ground, NoValue):
        return [ground.reason] if marked else []
    notes = list(ground.notes)
    far: list[tuple[float, float]] = [
        (float(s.nominal_value), float(s.std_dev)) for s in shoes if not isinstance(s, NoValue)
    ]
    if isinstance(track, HipTrack):
        far += list(zip(track.places.x.tolist(), track.places.u().tolist(), strict=True))
        notes += _single_hips(ground, track)
    beyond = [f for f in far if f[0] < ground.from_m - EXTRAPOLATED_M or f[0] > ground.to_m + EXTRAPOLATED_M]
    if beyond:
        x, u = max(beyond, key=lambda f: max(ground.from_m - f[0], f[0] - ground.to_m))
        notes.append(
            tr(
                "Places outside the marked stretch ({begin} to {end} m) are extrapolated: at {x} m "
                "the standard uncertainty has grown to {cm:.0f} cm. Marks farther out would help."
            ).format(begin=signed(ground.from_m), end=signed(ground.to_m), x=signed(x, ".1f"), cm=100 * u)
        )
    return notes


def _single_hips(ground: Ground, track: HipTrack) -> list[str]:
    """How many places of the hip centre come from one hip, and what that costs."""
    if not track.single.any():
        return []
    aside = track.places.shared[track.single, track.places.sources.index(ground.shared.hip)]
    words = tr(
        "The hip centre is read from one hip on {count} of {frames} frames, set right for its distance from "
        "the middle of the body. What that leaves open, up to {cm:.1f} cm, is in the intervals, and so is "
        "that the pelvis turns with the legs: by it step velocities may read {v:g} m/s too high and too low "
        "by turns."
    )
    return [
        words.format(
            count=int(np.count_nonzero(track.single)),
            frames=len(track),
            cm=100 * math.sqrt(3.0) * float(np.max(np.abs(aside))),
            v=ALTERNATING_M_S,
        )
    ]
