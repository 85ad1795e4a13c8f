"""How well and how quickly the background is followed: `python3 -m tests.bench.bench_background FOLDER`.

FOLDER holds films; `--write docs/speed.md` sets the page's own section, in which films go by their folder and
number. For each the map is held against two other ways of registering frames that lie far apart
and still overlap: ECC, which maximises the correlation of the background (Evangelidis and Psarakis 2008, in
OpenCV's findTransformECC), and the best places of patches by correlation. Neither follows corners.
"""

from __future__ import annotations

import argparse
import os
import time
from pathlib import Path

import cv2
import numpy as np

from analysis.background import follow_background
from analysis.background.follow import RATE_HZ, mapped_frames
from analysis.background.following import corners, follow, grid, mapped, rms
from analysis.background.moving import moving
from analysis.background.pictures import GreyPictures
from analysis.background.shaping import shown_part, warped
from analysis.film import open_film
from analysis.values.camera import CameraKind, CameraPath
from analysis.values.film import Film
from tests.bench.pages import write_sections
from tests.bench.rows import Row, as_table

GOAL_MS = 40.0
HALF, SEARCH = 15, 6
LEAST_OVERLAP = 0.35
SECTION = """## How quick the background is followed

Set by `python3 -m tests.bench.bench_background FOLDER --write docs/speed.md`: one thread, time of the
processor, load of the machine at the beginning {load}. *Raw* is what following corners alone takes on the
same film, beside it.

{table}
"""


def main() -> None:
    """Measure every film of the folders, print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folders", nargs="+", type=Path)
    asked.add_argument("--pairs", type=int, default=12)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    films = {
        f"{folder.name} {number}": film
        for folder in wishes.folders
        for number, film in enumerate(sorted(folder.glob("*.mp4")), start=1)
    }
    load = f"{os.getloadavg()[0]:.0f}" if hasattr(os, "getloadavg") else "not known"
    rows = {
        "size": Row("picture, frames a second", ""),
        "kind": Row("how the camera moved", ""),
        "mapped": Row("frames mapped a captured second", f"{RATE_HZ:.0f}"),
        "speed": Row("processor time a mapped frame, decoding with it", f"{GOAL_MS:.0f} ms"),
        "raw": Row("800 corners followed there and back, full size (raw)", ""),
        "ecc": Row("map against ECC, px along an axis: median, worst", ""),
        "patches": Row("map against patches, px along an axis: median, worst", ""),
        "stated": Row("stated standard uncertainty, px: median, worst", ""),
    }
    for name, path in films.items():
        measure(open_film(path), name, wishes.pairs, rows)
    table = as_table(list(rows.values()), list(films))
    print("\n" + table)
    if wishes.write:
        write_sections(wishes.write, {"background": SECTION.format(load=load, table=table)})


def measure(film: Film, name: str, pairs: int, rows: dict[str, Row]) -> None:
    """Fill the column of one film."""
    begun = time.process_time()
    path = follow_background(film, 0, film.frames - 1)
    spent = (time.process_time() - begun) * 1000
    seconds = film.facts.times.seconds
    count = len(mapped_frames(seconds, RATE_HZ))
    # of the frames between the first and the last, which is mapped wherever it comes
    a_second = (count - 2) / (seconds[-1] - seconds[0])
    took = spent / count
    width, height = film.shown_size
    rows["size"].put(name, f"{width} x {height}, {film.facts.times.median_rate_hz:.0f}")
    rows["mapped"].put(name, f"{a_second:.1f}", bool(a_second <= RATE_HZ))
    rows["kind"].put(name, f"{path.kind.value}, parallax {path.parallax_px:.1f} px")
    rows["speed"].put(name, f"{took:.1f} ms", took <= GOAL_MS)
    rows["raw"].put(name, f"{raw_ms(film):.1f} ms")
    if path.kind is CameraKind.WALKING:
        return
    by_ecc, by_patches = drift(film, path, pairs)
    for key, found in (("ecc", by_ecc), ("patches", by_patches)):
        if found:
            rows[key].put(name, f"{np.median(found):.2f}, {max(found):.2f} ({len(found)} pairs)")
    rows["stated"].put(name, f"{np.median(path.error_px):.2f}, {path.error_px.max():.2f}")


def raw_ms(film: Film) -> float:
    """Milliseconds to follow 800 corners from one frame to the next and back, nothing else."""
    with GreyPictures(film) as pictures:
        one, two = pictures.picture(0), pictures.picture(1)
    places = corners(one, 800, 7)
    begun = time.process_time()
    for _ in range(5):
        follow(one, two, places, 21, 3)
    return (time.process_time() - begun) * 200


def drift(film: Film, path: CameraPath, pairs: int) -> tuple[list[float], list[float]]:
    """Offsets of the map between far-apart frames, by ECC and by patches, px along an axis."""
    by_ecc, by_patches = [], []
    with GreyPictures(film) as pictures:
        for one, two in far_apart(path, film.shown_size, pairs):
            through = np.linalg.inv(path.maps[two]) @ path.maps[one]
            through /= through[2, 2]
            a, b = pictures.picture(one), pictures.picture(two)
            brought = warped(a, through, b.shape)
            inside = shown_part(a.shape, through, b.shape)
            still = cv2.erode(moving(brought, b, through) & inside, np.ones((15, 15), np.uint8))
            for found, by in (
                (ecc_offset(brought, b, still), by_ecc),
                (patch_offset(brought, b, still), by_patches),
            ):
                if found is not None:
                    by.append(found)
    return by_ecc, by_patches


def far_apart(path: CameraPath, size: tuple[int, int], pairs: int) -> list[tuple[int, int]]:
    """Pairs of frames, each as far apart in time as still overlaps; ``pairs``: from so many first frames."""
    places = grid((size[1], size[0]), 12, 8)
    found = []
    for one in np.unique(np.linspace(0, len(path.maps) - 6, pairs).astype(int)):
        for two in range(len(path.maps) - 1, one + 4, -1):
            there = mapped(np.linalg.inv(path.maps[two]) @ path.maps[one], places)
            if ((there >= 0) & (there < size)).all(axis=1).mean() >= LEAST_OVERLAP:
                found.append((int(one), two))
                break
    return found


def ecc_offset(brought: np.ndarray, picture: np.ndarray, still: np.ndarray) -> float | None:
    """What ECC changes of a map that is right already, over the background; None where it finds none."""
    rest = np.eye(3, dtype=np.float32)
    ends = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 60, 1e-6)
    try:
        _, rest = cv2.findTransformECC(picture, brought, rest, cv2.MOTION_HOMOGRAPHY, ends, still, 5)
    except cv2.error:
        return None
    places = grid(picture.shape, 24, 14)
    seen = still[tuple(np.rint(places[:, ::-1]).astype(int).T)] > 0
    return rms(mapped(rest.astype(np.float64), places[seen]) - places[seen]) if seen.any() else None


def patch_offset(brought: np.ndarray, picture: np.ndarray, still: np.ndarray) -> float | None:
    """Where patches of the background are found best, root mean square of those that are found surely."""
    offsets = []
    for u, v in np.rint(corners(picture, 240, 24, still)).astype(int):
        far = HALF + SEARCH + 1
        if not (far <= u < picture.shape[1] - far and far <= v < picture.shape[0] - far):
            continue
        patch = picture[v - HALF : v + HALF + 1, u - HALF : u + HALF + 1]
        around = brought[v - HALF - SEARCH : v + HALF + SEARCH + 1, u - HALF - SEARCH : u + HALF + SEARCH + 1]
        score = cv2.matchTemplate(around, patch, cv2.TM_CCOEFF_NORMED)
        _, best, _, (x, y) = cv2.minMaxLoc(score)
        if best > 0.85 and 0 < x < 2 * SEARCH and 0 < y < 2 * SEARCH:
            du = x - SEARCH + summit(score[y, x - 1 : x + 2])
            dv = y - SEARCH + summit(score[y - 1 : y + 2, x])
            offsets.append((du, dv))
    if len(offsets) < 12:
        return None
    # The middle half: a patch alone is as often misled as a corner.
    return float(1.4826 * np.median(np.abs(offsets)))


def summit(three: np.ndarray) -> float:
    """Where a parabola through three neighbours is highest, from the middle one."""
    left, middle, right = (float(n) for n in three)
    bend = left - 2 * middle + right
    return 0.5 * (left - right) / bend if bend < 0 else 0.0


if __name__ == "__main__":
    main()
