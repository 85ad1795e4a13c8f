"""How far the centre of mass of a partial body is off that of the whole one, and whether its interval holds:
`python3 -m tests.bench.bench_partial --write docs/validation.md`.

Bodies of rendered runs, from rest to full strides, placed without error; points are left out.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

import numpy as np

from analysis.body.centre_of_mass import centre_of_mass
from analysis.body.mass_models import MassModel
from analysis.values.estimate import NoValue
from analysis.values.run import POINT_NAMES
from sample_clips.film import Film
from sample_clips.scenarios import drawn
from sample_clips.truth import Truth, truth_of
from tests.bench.pages import tell
from tests.bench.posture_truth import Floats, sample_runs

_LEG = ("hip", "knee", "ankle", "heel", "toe")


def _part(name: str) -> str:
    return name.split("_", 1)[-1]


KEPT: dict[str, Callable[[str, str], bool]] = {
    "near shoulder and legs": lambda name, near: name == f"{near}_shoulder" or _part(name) in _LEG,
    "shoulders and legs": lambda name, _: _part(name) in ("shoulder", *_LEG),
    "no head": lambda name, _: name not in ("head", "neck"),
    "no arms": lambda name, _: _part(name) not in ("elbow", "wrist"),
    "no wrists": lambda name, _: _part(name) != "wrist",
    "no feet": lambda name, _: _part(name) not in ("heel", "toe"),
    "no far shank and foot": lambda name, near: (
        name.startswith(near) or _part(name) not in ("ankle", "heel", "toe")
    ),
    "near side and middle": lambda name, near: name.startswith((near, "head", "neck", "mid")),
    "neck in place of shoulders": lambda name, _: name == "neck" or _part(name) in _LEG,
}
"""Which points are there, by name and near side."""


def off_by(truth: Truth, model: MassModel, kept: Callable[[str, str], bool]) -> tuple[Floats, float] | None:
    """How far the centre is off along each axis, (n, 2) in m, and what is stated; None where none is."""
    near = str(truth.numbers["near_side"])
    metres = truth.arrays["metres"][::5, :, :2]
    places = {str(name): metres[:, i] for i, name in enumerate(truth.arrays["names"])}
    whole = centre_of_mass(model, POINT_NAMES)
    found = centre_of_mass(model, [name for name in POINT_NAMES if kept(name, near)])
    if isinstance(found, NoValue) or isinstance(whole, NoValue):
        return None
    return found.of(places) - whole.of(places), found.u_m


def row(words: str, truths: list[Truth], model: MassModel) -> str:
    """A line of the table, in cm."""
    each = [off for truth in truths if (off := off_by(truth, model, KEPT[words])) is not None]
    off, u = np.concatenate([one for one, _ in each]), each[0][1]
    mean, rms = 100 * off.mean(axis=0), 100 * np.sqrt((off**2).mean(axis=0))
    held = 100 * (np.abs(off) <= 1.96 * u).mean(axis=0)
    return (
        f"| {words} | {mean[0]:+.1f}, {mean[1]:+.1f} | {rms[0]:.1f}, {rms[1]:.1f} | {100 * u:.1f} "
        f"| {held[0]:.0f}, {held[1]:.0f} |"
    )


def main() -> None:
    """Leave out, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seeds", type=int, nargs=2, default=(900, 909))
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    first, last = wishes.seeds
    truths = [clip.truth for clip in sample_runs()]
    truths += [truth_of(Film(drawn(seed))) for seed in range(first, last + 1)]
    lines = [
        f"Sample clips and seeds {first} to {last}; de Leva's men.",
        "",
        "| what is placed | mean error, cm: along, height | RMS | stated | held, % |",
        "|---|---|---|---|---|",
        *(row(words, truths, MassModel.DE_LEVA_MALE) for words in KEPT),
    ]
    tell("\n".join(lines) + "\n", wishes.write, "partial")


if __name__ == "__main__":
    main()
