"""Fit what tells touchdown and toe-off from the signals. `python3 -m tests.bench.fit_events FOLDER`

Draws the runs of development (kept in FOLDER), drafts them, and fits the two nets to how likely each moment
around a drafted event is the true one. `--write` sets `event_weights.json` anew; without it only the errors
are printed that nets make on runs that they were not fitted to. Never to be run on the runs that judge.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize

from analysis.derive.footfalls import chances, draft, draft_footfalls, timing
from analysis.derive.footfalls.chances import LOOKS, MOMENTS, UNIT_S, Chances, Net, inputs_of
from analysis.derive.footfalls.refine import foremost
from analysis.derive.footfalls.signals import landing, leaving
from analysis.film import open_film
from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark
from tests.bench.drafted_clips import DEVELOPMENT, Clip, made

Floats = npt.NDArray[np.float64]

HIDDEN, STEPS, PARTS = 6, 90, 5
WIDE = 0.7  # units by which a moment beside the true one is still nearly as good
DECAY, ROUGH = 1e-3, 5e-3
LEAST_OVERLAP = 0.3
KINDS = ("touchdown", "toe-off")
WEIGHTS = Path(chances.__file__).with_name("event_weights.json")


@dataclass(frozen=True, eq=False)
class Example:
    """One event: ``inputs`` (m, d), how good each moment is, (m,), and the true one in units."""

    clip: str
    inputs: Floats
    good: Floats
    true: float


def examples_of(clip: Clip, seen_by_draft: list[tuple[object, ...]]) -> dict[str, list[Example]]:
    """The events of a clip as its draft sees them."""
    seen_by_draft.clear()
    marks = tuple(GroundMark(f"m{x:g}", x, 0.0, FrameNumber(0), u, v) for x, u, v in clip.marks)
    draft_footfalls(open_film(clip.path), marks)
    out: dict[str, list[Example]] = {kind: [] for kind in KINDS}
    for strip, streaks, body, forwards in seen_by_draft:
        for plain in streaks:
            one = replace(plain, tip=foremost(strip, plain, body.height_px, forwards))
            for on, off in ((a * clip.fps, b * clip.fps) for a, b, _, _ in clip.events):
                if min(off, one.end) - max(on, one.begin) < LEAST_OVERLAP * (off - on):
                    continue
                place = (strip, one, body.height_px, clip.fps, forwards)
                for kind, look, event, true in (
                    ("touchdown", landing, one.begin, on),
                    ("toe-off", leaving, one.end, off),
                ):
                    units = (true - (event - 0.5)) / (clip.fps * UNIT_S)
                    if 1 < event < len(strip.picture) - 1 and abs(units) < MOMENTS[-1] - 1:
                        good = np.exp(-0.5 * ((MOMENTS - units) / WIDE) ** 2)
                        inputs = inputs_of(look(*place), event, clip.fps)[1]
                        out[kind].append(Example(clip.name, inputs, good / good.sum(), units))
    return out


def fitted(examples: Sequence[Example]) -> Net:
    """A net for which the good moments are the likeliest."""
    inputs, good = np.stack([one.inputs for one in examples]), np.stack([one.good for one in examples])
    width = inputs.shape[2]
    shapes = [(width, HIDDEN), (HIDDEN,), (HIDDEN,), (width,)]
    cuts = np.cumsum([int(np.prod(shape)) for shape in shapes])[:-1]
    draw = np.random.default_rng(0)
    begin = [draw.normal(0, s, shape) for s, shape in zip((0.15, 0, 0.3, 0), shapes, strict=True)]

    def parted(flat: Floats) -> list[Floats]:
        return [one.reshape(shape) for one, shape in zip(np.split(flat, cuts), shapes, strict=True)]

    def loss(flat: Floats) -> tuple[float, Floats]:
        inner, bias, outer, straight = parted(flat)
        hidden = np.tanh(inputs @ inner + bias)
        scores = hidden @ outer + inputs @ straight
        scores -= scores.max(axis=1, keepdims=True)
        sums = np.exp(scores).sum(axis=1, keepdims=True)
        value = -float((good * (scores - np.log(sums))).sum()) / len(inputs)
        back = (np.exp(scores) / sums - good) / len(inputs)
        through = back[..., None] * outer * (1 - hidden**2)
        steps = [
            inputs.reshape(-1, width).T @ through.reshape(-1, HIDDEN),
            through.sum((0, 1)),
            hidden.reshape(-1, HIDDEN).T @ back.ravel(),
            inputs.reshape(-1, width).T @ back.ravel(),
        ]
        for place, one in ((0, inner), (3, straight)):
            rough, slope = _rough(one)
            value += rough
            steps[place] = steps[place] + slope
        value += DECAY * float(flat @ flat)
        return value, np.concatenate([one.ravel() for one in steps]) + 2 * DECAY * flat

    start = np.concatenate([one.ravel() for one in begin])
    found = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": STEPS})
    return Net(*parted(found.x))


def _rough(weights: Floats) -> tuple[float, Floats]:
    """How much weights change from look to look, and how that changes with them."""
    looks = weights[:-2].reshape(len(LOOKS), -1)
    change = np.diff(looks, axis=0)
    slope = np.zeros_like(looks)
    slope[1:] += 2 * ROUGH * change
    slope[:-1] -= 2 * ROUGH * change
    tail = np.zeros((2, *weights.shape[1:]))
    return ROUGH * float((change**2).sum()), np.concatenate([slope.reshape(weights[:-2].shape), tail])


def errors(net: Net, examples: Sequence[Example]) -> Floats:
    """By how many units the likeliest moments are off."""
    return np.array([Chances(MOMENTS, net.chances(one.inputs)).best - one.true for one in examples])


def main() -> None:
    """Draw, draft, fit, print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--write", action="store_true")
    wishes = asked.parse_args()
    wishes.folder.mkdir(parents=True, exist_ok=True)
    seen: list[tuple[object, ...]] = []
    plain = timing.timed

    def spied(strip, streaks, body, seconds, forwards):  # type: ignore[no-untyped-def]
        seen.append((strip, streaks, body, forwards))
        return plain(strip, streaks, body, seconds, forwards)

    draft.timed = spied
    every: dict[str, list[Example]] = {kind: [] for kind in KINDS}
    for wish in DEVELOPMENT:
        if wish.fps >= timing.LEAST_RATE_HZ:
            for kind, some in examples_of(made(wish, wishes.folder), seen).items():
                every[kind] += some
    nets = {}
    for kind, examples in every.items():
        names = sorted({one.clip for one in examples})
        for part in range(PARTS):
            out = set(names[part::PARTS])
            net = fitted([one for one in examples if one.clip not in out])
            off = np.abs(errors(net, [one for one in examples if one.clip in out]))
            words = f"median {np.median(off):.2f}, within 3 {np.mean(off <= 3):.0%}"
            print(f"{kind}, part {part}: {len(off)} events, {words}")
        if wishes.write:
            nets[kind] = fitted(examples)
    if wishes.write:
        held = {
            kind: {k: np.round(getattr(net, k), 4).tolist() for k in ("inner", "bias", "outer", "straight")}
            for kind, net in nets.items()
        }
        told = {"how": "Fitted by python3 -m tests.bench.fit_events to drawn runs.", "nets": held}
        WEIGHTS.write_text(json.dumps(told), encoding="utf-8")


if __name__ == "__main__":
    main()
