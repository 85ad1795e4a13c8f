"""Bodies proposed on a frame, followed there from the two marked frames before it, against their truth:
`python3 -m tests.bench.bench_ahead FOLDER --write docs/validation.md`.

Rendered runs (films are kept in FOLDER); a body is placed on two frames, clicks off by 1.5 px (normal), and
its head on the next one. How many of the other points are then sure enough to be proposed, how many are left
to be clicked, and how far the proposed ones are off. `--real FOLDER`: the same of the labelled legs of real
starts (`data/starts_legs.json`), from two labelled frames on to the next.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np

from analysis.body.proposed import proposed_points
from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction
from tests.bench.coverage_truth import CLICK_PX
from tests.bench.followed_clips import Clip
from tests.bench.pages import tell
from tests.bench.posture_truth import Floats, clips
from tests.bench.starts_legs import read_legs

GAPS = (6, 12, 24)
EVERY, BEGIN = 36, 60
SHARE = 0.05
OFF_PX = 3.0 * CLICK_PX
"""So far off a proposed point is one that the coach has to move."""


def proposals(clip: Clip, gap: int, seed: int) -> Iterator[dict[str, float]]:
    """By name how far every proposed point is off, px, for one body after another."""
    film, rng = open_film(clip.path), np.random.default_rng([seed, gap])
    direction = Direction(clip.truth.numbers["direction"])
    width, height = film.shown_size
    for frame in range(BEGIN + gap, film.frames - gap, EVERY):
        here = clip.pixels[frame + gap]
        if not ((here > 0) & (here < (width, height))).all():
            continue
        points = [p for f in (frame - gap, frame) for p in _clicked(clip, f, clip.names, rng)]
        points += _clicked(clip, frame + gap, ["head"], rng)
        tracks = follow_points(film, points, frame - gap, frame + gap, direction, ahead=True)
        yield {
            p.name: float(np.hypot(*(here[clip.names.index(p.name)] - (p.u, p.v))))
            for p in proposed_points(tracks, frame + gap)
        }


def _clicked(clip: Clip, frame: int, names: list[str], rng: np.random.Generator) -> list[BodyPoint]:
    places: Floats = clip.pixels[frame][[clip.names.index(name) for name in names]]
    off = rng.normal(0.0, CLICK_PX, places.shape)
    return [
        BodyPoint(FrameNumber(frame), name, *place)
        for name, place in zip(names, (places + off).tolist(), strict=True)
    ]


def real(folder: Path) -> str:
    """What comes of the labelled legs, in a sentence."""
    proposed = off = total = 0
    for legs in read_legs(folder).values():
        for one, other, here in zip(legs.wide, legs.wide[1:], legs.wide[2:], strict=False):
            points = [*legs.points(one), *legs.points(other)]
            tracks = follow_points(legs.film, points, one, here, legs.direction, ahead=True)
            for point in proposed_points(tracks, here):
                label = legs.places[here][legs.names.index(point.name)]
                off += bool(np.hypot(*(label - (point.u, point.v))) > SHARE * legs.height_px)
                proposed += 1
            total += len(legs.names)
    return (
        f"Legs of real starts at 30 frames a second, two or three frames on: of {total} points {proposed} "
        f"were proposed, {off} of these off by more than {100 * SHARE:g} % of the body's height."
    )


def row(gap: int, bodies: list[dict[str, float]]) -> str:
    """A line of the table."""
    off = np.array([each for body in bodies for each in body.values()])
    asked = np.array([18 - len(body) for body in bodies])
    moved = np.array([sum(each > OFF_PX for each in body.values()) for body in bodies])
    return (
        f"| {gap} | {len(bodies)} | {1 + asked.mean():.1f} | {18 - asked.mean():.1f} "
        f"| {np.sqrt(np.mean(off**2) / 2):.1f} | {np.percentile(off, 95):.1f} | {moved.mean():.1f} |"
    )


def main() -> None:
    """Render, follow, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--seeds", type=int, nargs=2, default=(201, 206))
    asked.add_argument("--real", type=Path)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    first, last = wishes.seeds
    every = list(clips(wishes.folder, {100: range(first, last + 1)}))
    head = (
        "| frames on | bodies | clicked, of 19 | proposed | these off along an axis, RMS, px | 95 % within, "
        f"px | off by more than {OFF_PX:g} px |"
    )
    lines = [
        f"Sample clips and seeds {first} to {last} at 100 px a metre, 240 frames a second.",
        "",
        head,
        "|---|---|---|---|---|---|---|",
    ]
    for gap in GAPS:
        found = [body for _, seed, clip in every for body in proposals(clip, gap, seed)]
        lines.append(row(gap, found))
    if wishes.real is not None:
        lines += ["", real(wishes.real)]
    tell("\n".join(lines) + "\n", wishes.write, "ahead")


if __name__ == "__main__":
    main()
