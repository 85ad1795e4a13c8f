"""How often a camera that walks is refused, and one that turns is not.

`python3 -m tests.bench.bench_walking --write docs/validation.md`: films of a wall and the ground
(tests/bench/walked_films.py) from cameras whose every place is known. Of those that are not refused: how far
the running line is off the true camera's along the run, whether twice the stated standard uncertainty holds
its places, and how fast what stands on it seems to move.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

import cv2
import numpy as np

from analysis.background import follow_background
from analysis.background.following import mapped
from analysis.values.camera import CameraKind, CameraPath
from tests.bench.pages import films_asked, write_sections
from tests.bench.walked_films import SIZE, Floats, Shot, cameras, film_of

SPEEDS_M_S = (0.2, 0.3, 0.4, 0.6, 0.8, 1.0, 1.5)
ARM_M = 0.3
WAYS = {
    "on a stand, turns after the athlete": Shot(0, follow=0.9, shake_deg=0.02),
    "in the hands, held still": Shot(0, follow=0.1, arm_m=ARM_M, shake_deg=0.4),
    "in the hands, turns after the athlete": Shot(0, follow=0.9, arm_m=ARM_M),
    "on a stand, turns over 60 degrees": Shot(0, sweep_deg=60.0, shake_deg=0.02),
    "in the hands, turns over 60 degrees": Shot(0, sweep_deg=60.0, arm_m=ARM_M),
    **{f"walks along at {v:g} m/s": Shot(0, walk_m_s=v) for v in SPEEDS_M_S},
    **{
        f"walks along at {v:g} m/s and turns": Shot(0, walk_m_s=v, follow=0.9, arm_m=ARM_M)
        for v in SPEEDS_M_S
    },
}


@dataclass(frozen=True)
class Judged:
    """One film: whether it was refused; else, frame by frame, how far the lane is off along the run, px, root
    mean square, the share of its places that twice the stated holds, and what was stated; ``false_m_s``: how
    fast the lane seems to move.
    """

    refused: bool
    off_px: tuple[float, ...] = ()
    held: tuple[float, ...] = ()
    stated_px: tuple[float, ...] = ()
    false_m_s: float = 0.0


def judged(shot: Shot) -> Judged:
    """Draw the film, follow its background, compare."""
    with TemporaryDirectory() as folder:
        film = film_of(shot, Path(folder))
        path = follow_background(film, 0, film.frames - 1)
    if path.kind is CameraKind.WALKING:
        return Judged(refused=True)
    lane = list(_lane_off(shot, path))
    off = tuple(float(np.sqrt(np.mean(each**2))) for each in lane)
    held = tuple(
        float(np.mean(np.abs(each) <= 2 * stated)) for each, stated in zip(lane, path.error_px, strict=True)
    )
    seconds = film.facts.times.seconds
    slope = np.polyfit(seconds, [each.mean() for each in lane], 1)[0]
    camera = cameras(shot)[path.reference]
    aim = camera.x + camera.distance * np.tan(np.radians(camera.pan))
    false = abs(float(slope)) / float(camera.scale(np.array([aim, 0.0, 0.0])))
    return Judged(False, off, held, tuple(path.error_px.tolist()), false)


def _lane_off(shot: Shot, path: CameraPath) -> Iterator[Floats]:
    """How far the map takes places of the lane from where the reference's camera sees them, along the run."""
    lane = np.array([(x, y, 0.0) for x in np.linspace(-3, 18, 64) for y in (0.0, 0.9, 1.8)])
    held = cameras(shot)
    there = held[path.reference].project(lane)
    for map_, camera in zip(path.maps, held, strict=True):
        seen = camera.project(lane)
        inside = ((seen > 0) & (seen < SIZE)).all(axis=1)
        yield (mapped(map_, seen[inside]) - there[inside])[:, 0]


def cell(films: list[Judged]) -> str:
    """What a row says of one kind of ground."""
    refused = sum(one.refused for one in films)
    kept = [one for one in films if not one.refused]
    if not kept:
        return f"{refused} of {len(films)} | | |"
    off = np.concatenate([one.off_px for one in kept])
    stated = np.concatenate([one.stated_px for one in kept])
    held = 100 * np.mean(np.concatenate([one.held for one in kept]))
    false = [one.false_m_s for one in kept]
    return (
        f"{refused} of {len(films)} | {np.median(off):.1f} / {np.quantile(off, 0.95):.1f}, "
        f"{np.median(stated):.1f}, {held:.0f} % | {np.median(false):.2f}, {max(false):.2f} |"
    )


def main() -> None:
    """Draw, follow, print; with ``--write PAGE`` set the page's own section anew."""
    films, page = films_asked(__doc__)
    cv2.setNumThreads(1)
    rows = [
        f"{films} films of 2 s at 20 a second, {SIZE[0]} x {SIZE[1]}, in each cell.",
        "",
        "| camera | grass: refused | lane off | seems to move | bare: refused | lane off | seems to move |",
        "|---|---|---|---|---|---|---|",
    ]
    for words, way in WAYS.items():
        cells = []
        for grass in (True, False):
            shots = [replace(way, seed=seed, grass=grass) for seed in range(11, 11 + films)]
            cells.append(cell([judged(shot) for shot in shots]))
        rows.append(f"| {words} | {' '.join(cells)}")
        print(rows[-1], flush=True)
    if page:
        write_sections(page, {"walking": "\n".join(rows) + "\n"})


if __name__ == "__main__":
    main()
