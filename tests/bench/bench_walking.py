"""How often a camera that walks is refused, and one that turns is not.

`python3 -m tests.bench.bench_walking --write docs/validation.md`: films of a wall and the ground
(tests/bench/walked_films.py) from cameras whose every place is known. Of those that are not refused: how far
the running line is off the true camera's, and whether twice the stated standard uncertainty holds it.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import cv2
import numpy as np

from analysis.background import follow_background
from analysis.background.following import mapped
from analysis.values.camera import CameraKind, CameraPath
from tests.bench.pages import write_sections
from tests.bench.walked_films import SIZE, Shot, cameras, film_of

SPEEDS_M_S = (0.2, 0.4, 0.6, 0.8, 1.0, 1.5)
ARM_M = 0.3
WAYS = {
    "on a stand, turns after the athlete": Shot(0, follow=0.9, shake_deg=0.02),
    "in the hands, held still": Shot(0, follow=0.1, arm_m=ARM_M, shake_deg=0.4),
    "in the hands, turns after the athlete": Shot(0, follow=0.9, arm_m=ARM_M),
    **{f"walks along at {v:g} m/s": Shot(0, walk_m_s=v) for v in SPEEDS_M_S},
    **{
        f"walks along at {v:g} m/s and turns": Shot(0, walk_m_s=v, follow=0.9, arm_m=ARM_M)
        for v in SPEEDS_M_S
    },
}


@dataclass(frozen=True)
class Judged:
    """One film: whether it was refused; else, frame by frame, how far the lane is off along an axis, px, and
    what was stated.
    """

    refused: bool
    off_px: tuple[float, ...] = ()
    stated_px: tuple[float, ...] = ()


def judged(shot: Shot) -> Judged:
    """Draw the film, follow its background, compare."""
    with TemporaryDirectory() as folder:
        film = film_of(shot, Path(folder))
        path = follow_background(film, 0, film.frames - 1)
    if path.kind is CameraKind.WALKING:
        return Judged(refused=True)
    return Judged(False, tuple(_lane_off(shot, path)), tuple(path.error_px.tolist()))


def _lane_off(shot: Shot, path: CameraPath) -> Iterator[float]:
    """How far the map takes the lane from where the reference's camera sees it."""
    lane = np.array([(x, y, 0.0) for x in np.linspace(-3, 18, 64) for y in (0.0, 0.9, 1.8)])
    held = cameras(shot)
    there = held[path.reference].project(lane)
    for map_, camera in zip(path.maps, held, strict=True):
        seen = camera.project(lane)
        inside = ((seen > 0) & (seen < SIZE)).all(axis=1)
        yield float(np.sqrt(np.mean((mapped(map_, seen[inside]) - there[inside]) ** 2)))


def cell(films: list[Judged]) -> str:
    """What a row says of one kind of ground."""
    refused = sum(one.refused for one in films)
    kept = [one for one in films if not one.refused]
    if not kept:
        return f"{refused} of {len(films)} | |"
    off = np.concatenate([one.off_px for one in kept])
    stated = np.concatenate([one.stated_px for one in kept])
    held = 100 * np.mean(off <= 2 * stated)
    return (
        f"{refused} of {len(films)} | {np.median(off):.1f} / {np.quantile(off, 0.95):.1f}, "
        f"{np.median(stated):.1f}, {held:.0f} % |"
    )


def main() -> None:
    """Draw, follow, print; with ``--write PAGE`` set the page's own section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seeds", type=int, default=4)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    rows = [
        f"{wishes.seeds} films of 2 s at 20 a second, {SIZE[0]} x {SIZE[1]}, in each cell.",
        "",
        "| camera | grass: refused | lane off | bare ground: refused | lane off |",
        "|---|---|---|---|---|",
    ]
    for words, way in WAYS.items():
        cells = []
        for grass in (True, False):
            shots = [
                Shot(seed, way.walk_m_s, way.follow, way.arm_m, grass, shake_deg=way.shake_deg)
                for seed in range(11, 11 + wishes.seeds)
            ]
            cells.append(cell([judged(shot) for shot in shots]))
        rows.append(f"| {words} | {' '.join(cells)}")
        print(rows[-1], flush=True)
    if wishes.write:
        write_sections(wishes.write, {"walking": "\n".join(rows) + "\n"})


if __name__ == "__main__":
    main()
