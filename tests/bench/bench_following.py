"""Points placed on every 12th frame of rendered runs and followed between.

`python -m tests.bench.bench_following` prints a section in Markdown.
Points are placed with 1.5 px of random error; `--joints` adds a centimetre to
each joint's place, the same on all frames. `--seeds A B`, `--films FOLDER`: which runs, and where rendered
films are kept. Everything is read as the program reads it, the misses included.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections import defaultdict
from itertools import pairwise
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from analysis.body.flight_measures import projection_angle
from analysis.body.launch_measures import trunk_lead
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces, Moment, body_places, on_frame
from analysis.body.point_rows import followed_rows
from analysis.body.posture_measures import (
    Measure,
    Measured,
    foot_distance,
    mass_height,
    shin_angle,
    thigh_angle,
    trunk_angle,
)
from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.ground.carried import combine, estimate, normal
from analysis.ground.ground import read_ground
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction, Side
from analysis.values.tracks import Standing, Tracks
from tests.analysis.reading.runs import evidence_of
from tests.bench.followed_clips import Clip, make_clip

EVERY, CLICK_PX, JOINT_M = 12, 1.5, 0.01
MEN = MassModel.DE_LEVA_MALE
Floats = np.ndarray[Any, np.dtype[np.float64]]


class Tally:
    """Errors with their stated standard uncertainties and whether the 95 % interval held, by measure."""

    def __init__(self) -> None:
        self.errors: dict[str, list[float]] = defaultdict(list)
        self.held: dict[str, list[bool]] = defaultdict(list)
        self.refused: dict[str, int] = defaultdict(int)
        self.frames = 0
        self.seconds = 0.0

    def add(self, name: str, shown: Measure, truth: float) -> None:
        if not isinstance(shown, Measured):
            self.refused[name] += 1
            return
        number = estimate(shown.value)
        self.errors[name].append(number.value - truth)
        self.held[name].append(number.low <= truth <= number.high)


def placed(clip: Clip, frames: list[int], rng: np.random.Generator, joint_m: float) -> list[BodyPoint]:
    """Every point on these frames, off by clicks and, constantly, by where the joint is thought to be."""
    off = rng.normal(0.0, joint_m * clip.px_per_m, (len(clip.names), 2))
    return [
        BodyPoint(
            FrameNumber(f), n, *(float(a) for a in clip.pixels[f, i] + off[i] + rng.normal(0, CLICK_PX, 2))
        )
        for f in frames
        for i, n in enumerate(clip.names)
    ]


def as_body(clip: Clip, tracks: Tracks) -> tuple[BodyPlaces, Any]:
    """Tracks as places in metres, through the marks of the clip's sheet."""
    evidence = evidence_of(clip.truth.sheet)
    seconds = evidence.film.times.seconds
    ground = read_ground(evidence.run, evidence.film.width, evidence.film.height)
    memory = float(np.median(tracks.memory))
    rows = followed_rows(tracks, {}, len(seconds))
    return body_places(ground, evidence.run.direction, rows, seconds, memory), evidence


def measure(clip: Clip, tally: Tally, seed: int, joint_m: float) -> None:
    """Follow one clip and hold what is read against its truth."""
    numbers = clip.truth.numbers
    film = open_film(clip.path)
    rng = np.random.default_rng([seed, 99])
    frames = list(range(12, film.frames, EVERY))
    points = placed(clip, frames, rng, joint_m)
    begun = time.process_time()
    tracks = follow_points(film, points, frames[0], frames[-1], Direction(numbers["direction"]))
    tally.seconds += time.process_time() - begun
    tally.frames += len(tracks)
    near = str(numbers["near_side"])
    body, evidence = as_body(clip, tracks)
    _pixels(clip, tracks, near, tally)
    _along(clip, tracks, body, Side(near), tally)
    _events(clip, tracks, body, evidence, tally)


def _pixels(clip: Clip, tracks: Tracks, near: str, tally: Tally) -> None:
    truth = clip.pixels[tracks.first : tracks.last + 1][:, [clip.names.index(n) for n in tracks.names]]
    for column, name in enumerate(tracks.names):
        far = name.startswith(("left", "right")) and not name.startswith(near)
        for kind in (Standing.PLACED, Standing.FOLLOWED, Standing.GUESSED):
            rows = tracks.standing[:, column] == kind
            off = tracks.places[rows, column] - truth[rows, column]
            key = f"point, {'far' if far else 'near'} side, {kind.name.lower()}, px"
            tally.errors[key] += off.ravel().tolist()
            inside = np.abs(off) <= 1.96 * tracks.u_px[rows, column][:, None]
            tally.held[key] += inside.ravel().tolist()


def _along(clip: Clip, tracks: Tracks, body: BodyPlaces, near: Side, tally: Tally) -> None:
    """Angles and the height of the centre of mass on every third frame."""
    metres = {n: clip.truth.arrays["metres"][:, i] for i, n in enumerate(clip.names)}

    def angle(low: Floats, high: Floats) -> float:
        d = high - low
        return float(np.degrees(np.arctan2(d[1], d[0])))

    def middle(joint: str, f: int) -> Floats:
        return np.asarray((metres[f"left_{joint}"][f] + metres[f"right_{joint}"][f]) / 2)

    for f in range(tracks.first, tracks.last + 1, 3):
        moment = on_frame(f, body.seconds)
        for side, label in ((near, "near"), (near.other, "far")):
            s = side.value
            shin = angle(metres[f"{s}_ankle"][f], metres[f"{s}_knee"][f])
            tally.add(f"shin, {label} side, deg", shin_angle(body, side, moment), shin)
            thigh = angle(metres[f"{s}_knee"][f], metres[f"{s}_hip"][f])
            tally.add(f"thigh, {label} side, deg", thigh_angle(body, side, moment), thigh)
        tally.add("trunk, deg", trunk_angle(body, moment), angle(middle("hip", f), middle("shoulder", f)))
        height = mass_height(body, moment, MEN)
        tally.add("height of the centre of mass, m", height, float(clip.truth.arrays["com_m"][f, 1]))


def _events(clip: Clip, tracks: Tracks, body: BodyPlaces, evidence: Any, tally: Tally) -> None:
    run, numbers = evidence.run, clip.truth.numbers
    start, steps = numbers["start"], numbers["steps"]
    seconds = body.seconds

    def event(frame: int) -> Moment:
        d = float(seconds[frame] - seconds[frame - 1])
        return Moment(frame, combine(float(seconds[frame]) - d / 2, {normal(d / np.sqrt(12)): 1.0}))

    off = run.start.front_toe_off
    rest = range(tracks.first, run.start.first_movement - 2)
    tally.add("trunk lead, deg", trunk_lead(body, rest, off), start["trunk_lead_deg"])
    falls = [f for f in run.footfalls if f.touchdown and f.touchdown < tracks.last]
    flights = [(off, falls[0].touchdown, start["projection_deg"])]
    com, times = clip.truth.arrays["com_m"], clip.truth.arrays["times_s"]
    for fall, after in pairwise(falls):
        if fall.toe_off and after.touchdown < tracks.last:
            inside = slice(fall.toe_off, after.touchdown)
            t = times[inside] - event(fall.toe_off).seconds
            vx = np.polyfit(t, com[inside, 0], 1)[0]
            vy = np.polyfit(t, com[inside, 1] + 9.80665 * t * t / 2, 1)[0]
            flights.append((fall.toe_off, after.touchdown, float(np.degrees(np.arctan2(vy, vx)))))
    for begin, end, truth in flights:
        long = (end - begin) / 240 >= 0.08
        name = f"projection angle, flight {'of 80 ms and more' if long else 'shorter'}, deg"
        tally.add(name, projection_angle(body, MEN, event(begin), event(end)), truth)
    for fall, true in zip(falls, steps, strict=False):
        down = event(fall.touchdown)
        tally.add(
            "touchdown distance, m", foot_distance(body, fall.side, down, MEN), true["touchdown_distance_m"]
        )
        tally.add("shin at touchdown, deg", shin_angle(body, fall.side, down), true["shin_touchdown_deg"])


def _what(seeds: list[int], joints: bool) -> str:
    constant = f" and {100 * JOINT_M:g} cm of constant error a joint" if joints else ""
    return (
        f"Rendered runs of seeds {seeds[0]} to {seeds[-1]}, 240 frames a second, every point placed on every "
        f"{EVERY}th frame with {CLICK_PX} px of random error{constant}. RMS: root mean square error; 95 %: "
        "the error that 95 % stay within; held: how many stated 95 % intervals hold the truth; refused: no "
        "number was given."
    )


def section(tallies: dict[float, Tally], seeds: list[int], joints: bool) -> str:
    """The table as Markdown."""
    lines = [
        "## Points followed between placed frames",
        "",
        _what(seeds, joints),
        "",
    ]
    for scale, tally in tallies.items():
        lines += [
            f"### {scale:g} px per metre",
            "",
            f"{tally.frames / tally.seconds:.0f} frames a second of processor time, decoding included.",
            "",
            "| what | n | RMS | 95 % | held | refused |",
            "|---|---|---|---|---|---|",
        ]
        for name in sorted(set(tally.errors) | set(tally.refused)):
            errors = np.abs(tally.errors.get(name) or [np.nan])
            held = 100 * np.mean(tally.held.get(name) or [np.nan])
            digits = 4 if name.endswith(" m") else 2
            lines.append(
                f"| {name} | {len(tally.errors.get(name) or [])} | "
                f"{np.sqrt(np.mean(errors**2)):.{digits}f} | "
                f"{np.quantile(errors, 0.95):.{digits}f} | {held:.1f} % | {tally.refused.get(name, 0)} |"
            )
        lines.append("")
    return "\n".join(lines)


def main() -> None:
    """Render, follow, print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seeds", type=int, nargs=2, default=(201, 210))
    asked.add_argument("--scales", type=float, nargs="+", default=(100.0, 160.0))
    asked.add_argument("--films", type=Path)
    asked.add_argument("--joints", action="store_true")
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    seeds = list(range(wishes.seeds[0], wishes.seeds[1] + 1))
    tallies: dict[float, Tally] = {}
    with tempfile.TemporaryDirectory() as made:
        for scale in wishes.scales:
            tally = tallies.setdefault(scale, Tally())
            for seed in seeds:
                clip = make_clip(wishes.films or Path(made), seed, scale)
                measure(clip, tally, seed, JOINT_M if wishes.joints else 0.0)
    print(section(tallies, seeds, wishes.joints))


if __name__ == "__main__":
    main()
