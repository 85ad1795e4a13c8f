"""What is stated at the far ends of long pans: `python3 -m tests.bench.bench_far_ends --write PAGE`.

Films whose every camera is known, from seeds that had no part in any choice: two planes
(tests/bench/walked_films.py) and runs of the sample clips' renderer, followed by cameras near the line.
*Chain*: what links of maps alone state; *stated*: with what a carried camera would add. A place is held where
it lies within twice that along the run; far: from 0.7 of the farthest picture's way on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

import cv2
import numpy as np

from analysis.background import follow_background
from analysis.background.chain import Chain, errors_from
from analysis.background.following import grid, mapped
from analysis.film import open_film
from analysis.values.camera import CameraKind, CameraPath
from sample_clips.camera import Camera
from sample_clips.encode import write_film
from sample_clips.film import Film as Rendering
from sample_clips.scenarios import CAMERAS, drawn
from tests.bench.pages import films_asked, write_sections
from tests.bench.walked_films import CRF, RATE_HZ, SIZE, Floats, Grey, Shot, cameras, pictures

FAR = 0.7
STAND = Shot(0, sweep_deg=60.0, shake_deg=0.02)
HANDS = replace(STAND, arm_m=0.3, shake_deg=0.3)
SHOTS = {
    "20 degrees in 2 s": [replace(STAND, sweep_deg=20.0), replace(STAND, sweep_deg=20.0, grass=False)],
    "60 degrees in 1.5 s": [replace(STAND, seconds=1.5), replace(STAND, seconds=1.5, grass=False)],
    "60 degrees in 6 s": [replace(STAND, seconds=6.0), replace(STAND, seconds=6.0, grass=False)],
    "in the hands, 60 degrees in 2 s": [HANDS, replace(HANDS, grass=False)],
    "in the hands, 60 degrees in 6 s": [
        replace(HANDS, seconds=6.0),
        replace(HANDS, seconds=6.0, grass=False),
    ],
}
HALL = {"after an athlete, 50 degrees": (13.0, 8.0), "after an athlete, 75 degrees": (7.0, 5.0)}
HALL_S, HALL_HZ = 3.0, 30.0


@dataclass(frozen=True)
class Clip:
    """A film's pictures in grey, its cameras, and its frames a second."""

    pictures: list[Grey]
    cameras: list[Camera]
    rate_hz: float


def two_planes(shot: Shot) -> Clip:
    """Of a wall and the ground."""
    return Clip(list(pictures(shot)), cameras(shot), RATE_HZ)


def hall(seed: int, distance_m: float, span_m: float) -> Clip:
    """Of a run in the sample clips' hall; the camera follows the athlete, more or less shaken."""
    plan = replace(CAMERAS["panning"], distance_m=distance_m, span_m=span_m, shake_deg=(0.05, 0.3)[seed % 2])
    scenario = drawn(seed, HALL_HZ, ("left", "right")[seed // 2 % 2], "panning")
    picture = replace(scenario.picture, width=SIZE[0], height=SIZE[1], frames=round(HALL_S * HALL_HZ))
    film = Rendering(replace(scenario, camera=plan, picture=picture))
    grey = [cv2.cvtColor(film.frame(i), cv2.COLOR_RGB2GRAY) for i in range(picture.frames)]
    return Clip([np.asarray(each, np.uint8) for each in grey], film.cameras, HALL_HZ)


@dataclass(frozen=True)
class Told:
    """What was off and stated, place by place: ``off_px``, ``stated_px``, ``far`` (n,)."""

    off_px: Floats
    stated_px: Floats
    far: np.ndarray


def told(clip: Clip, maps: Sequence[Floats], stated: Floats, reference: int) -> Told:
    """Of maps to a reference frame."""
    lane = np.array([(x, y, 0.0) for x in np.linspace(-20, 35, 221) for y in (0.0, 0.9, 1.8)])
    there, middle = clip.cameras[reference].project(lane), np.array([SIZE]) / 2
    ahead = _ahead(clip.cameras[reference], lane)
    away = np.array([np.linalg.norm(mapped(map_, middle) - middle) for map_ in maps])
    off, said, far = [], [], []
    for number, (map_, camera) in enumerate(zip(maps, clip.cameras, strict=True)):
        if number == reference or not np.isfinite(stated[number]):
            continue
        seen = camera.project(lane)
        inside = ((seen > 0) & (seen < SIZE)).all(axis=1) & ahead & _ahead(camera, lane)
        moved = (mapped(map_, seen[inside]) - there[inside])[:, 0]
        off.append(moved)
        said.append(np.full(len(moved), stated[number]))
        far.append(np.full(len(moved), away[number] > FAR * away.max()))
    return Told(np.concatenate(off), np.concatenate(said), np.concatenate(far))


def _ahead(camera: Camera, places: Floats) -> np.ndarray:
    return np.asarray(((camera.turned(places) - camera.place) @ camera.axes.T)[:, 2] > 0.3)


def by_chain(clip: Clip) -> tuple[list[Floats], Floats, int]:
    """Maps by links alone and what these state, to the picture in the middle."""
    chain = Chain()
    tied = [chain.add(picture) for picture in clip.pictures]
    assert tied == list(range(len(clip.pictures)))
    middle = len(tied) // 2
    back = np.linalg.inv(chain.ties[middle].to_base)
    maps = [back @ tie.to_base for tie in chain.ties]
    return maps, errors_from(chain.ties, middle, SIZE[::-1]), middle


def by_path(clip: Clip) -> CameraPath:
    """The film written and followed."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "film.mp4"
        shown = (np.repeat(grey[:, :, None], 3, axis=2) for grey in clip.pictures)
        write_film(path, shown, *SIZE, clip.rate_hz, CRF)
        film = open_film(path)
        return follow_background(film, 0, film.frames - 1)


def row(name: str, clips: Iterator[Clip]) -> str:
    """A line of the table."""
    chains, paths, films, refused, widths = [], [], 0, 0, []
    for clip in clips:
        films += 1
        maps, stated, middle = by_chain(clip)
        chains.append(told(clip, maps, stated, middle))
        places = grid(SIZE[::-1])
        widths.append(
            max(float(np.linalg.norm(mapped(m, places) - places, axis=1).mean()) for m in maps) / SIZE[0]
        )
        path = by_path(clip)
        if path.kind is CameraKind.TURNING:
            paths.append(told(clip, list(path.maps), path.error_px, int(path.reference)))
        else:
            refused += 1
    cells = [name, f"{refused} of {films}", f"{np.median(widths):.1f}"]
    for found in (chains, paths):
        off, said, far = (
            np.concatenate([getattr(one, of) for one in found]) for of in ("off_px", "stated_px", "far")
        )
        for those in (~far, far):
            held = 100 * np.mean(np.abs(off[those]) <= 2 * said[those])
            rms = np.sqrt(np.mean(off[those] ** 2))
            cells.append(f"{rms:.1f}, {np.median(said[those]):.1f}, {held:.0f} %")
    return "| " + " | ".join(cells) + " |"


def main() -> None:
    """Draw, follow, print; with ``--write PAGE`` set the page's own section anew."""
    films, page = films_asked(__doc__)
    cv2.setNumThreads(1)
    seeds = range(101, 101 + films)
    rows = [
        f"{films} films of {SIZE[0]} x {SIZE[1]} a row.",
        "",
        "| camera | refused | widths | chain: near | chain: far ends | stated: near | stated: far ends |",
        "|---|---|---|---|---|---|---|",
    ]
    for name, shots in SHOTS.items():
        for ground, shot in zip(("grass", "bare ground"), shots, strict=True):
            found = (two_planes(replace(shot, seed=seed)) for seed in seeds)
            rows.append(row(f"{name}, {ground}", found))
            print(rows[-1], flush=True)
    for name, (distance, span) in HALL.items():
        rows.append(row(f"{name}, a hall", (hall(seed, distance, span) for seed in seeds)))
        print(rows[-1], flush=True)
    if page:
        write_sections(page, {"far ends": "\n".join(rows) + "\n"})


if __name__ == "__main__":
    main()
