"""Posture of rendered runs whose points are placed on every 12th frame and followed between, as `read` reads
it: `python3 -m tests.bench.bench_posture FOLDER --write docs/validation.md`.

Films and tracks are kept in FOLDER. Clicks are off by 1.5 px (normal), marks too. In the second round each
joint is a centimetre elsewhere than its truth, in the third as far as a reading assumes, and the limbs and
the athlete's line lie as far beside the marked one as it assumes; the same all through a film. Placed and
followed points are shifted alike: what is the same on every frame does not change how they are followed.
"""

from __future__ import annotations

import argparse
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from analysis.body.places import ANATOMY_ELSE_M, ANATOMY_M, OFFSETS_M
from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.ground.ground import FOOT_OFFSET_HALF_M, LANE_U_M
from analysis.reading import read
from analysis.values.estimate import Estimate
from analysis.values.evidence import Evidence
from analysis.values.film import FrameNumber
from analysis.values.posture import Moment
from analysis.values.reading import Reading
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Tracks
from analysis.values.tracks_file import read_tracks, write_tracks
from sample_clips.truth import read_truth
from tests.analysis.reading.runs import SAMPLES, evidence_of
from tests.bench.coverage import section
from tests.bench.followed_clips import Clip, make_clip

EVERY, CLICK_PX = 12, 1.5
G = 9.80665
PLACED, CENTIMETRE, ASSUMED = "clicks and marks alone", "joints 1 cm off", "off as assumed"
ROUNDS = (PLACED, CENTIMETRE, ASSUMED)
SAMPLE_PX_PER_M = 88.0
LONG_S = 0.08
Floats = np.ndarray[Any, np.dtype[np.float64]]
Json = dict[str, Any]

AT_EVENTS = {
    Moment.TOUCHDOWN: ("touchdown_distance_m", "shin_deg", "trunk_deg", "knee_gap_m", "com_height_m"),
    Moment.TOE_OFF: ("toe_off_distance_m", "shin_deg", "trunk_deg", "com_height_m"),
}
TRUTH_NAMES = {
    ("shin_deg", Moment.TOUCHDOWN): "shin_touchdown_deg",
    ("shin_deg", Moment.TOE_OFF): "shin_toe_off_deg",
    ("trunk_deg", Moment.TOUCHDOWN): "trunk_touchdown_deg",
    ("trunk_deg", Moment.TOE_OFF): "trunk_toe_off_deg",
    ("knee_gap_m", Moment.TOUCHDOWN): "knee_gap_touchdown_m",
    ("com_height_m", Moment.TOUCHDOWN): "com_height_touchdown_m",
    ("com_height_m", Moment.TOE_OFF): "com_height_toe_off_m",
}


@dataclass(frozen=True)
class Found:
    """How far a number is off, and whether its 95 % interval held the truth; ``refused``: none was given."""

    off: float = np.nan
    held: bool = False
    refused: bool = False
    wrong_sign: bool = False


class Tally:
    """What was found, by measure."""

    def __init__(self) -> None:
        self.found: dict[str, list[Found]] = defaultdict(list)

    def add(self, name: str, shown: object, truth: float) -> None:
        """A number as it is shown, against its truth."""
        if not isinstance(shown, Estimate):
            self.found[name].append(Found(refused=True))
            return
        sure = shown.low > 0.0 or shown.high < 0.0
        wrong = sure and shown.value * truth < 0.0
        held = shown.low <= truth <= shown.high
        self.found[name].append(Found(shown.value - truth, held, wrong_sign=wrong))

    def add_curve(self, name: str, value: Floats, u: Floats, truth: Floats) -> None:
        """Values of many frames."""
        off = value - truth
        self.found[name] += [Found(float(o), bool(abs(o) <= 1.96 * s)) for o, s in zip(off, u, strict=True)]

    def numbers(self, name: str) -> Floats:
        """Errors of the numbers that were given."""
        return np.array([f.off for f in self.found.get(name, []) if not f.refused])

    def held(self, name: str) -> float:
        """Share of intervals that held, %."""
        given = [f.held for f in self.found.get(name, []) if not f.refused]
        return 100.0 * float(np.mean(given)) if given else float("nan")

    def refused(self, name: str) -> int:
        """How many numbers were not given."""
        return sum(f.refused for f in self.found.get(name, []))


def placed(clip: Clip, frames: range, rng: np.random.Generator) -> list[BodyPoint]:
    """Every point on these frames, off by clicks."""
    found = []
    for f in frames:
        clicks = clip.pixels[f] + rng.normal(0.0, CLICK_PX, clip.pixels[f].shape)
        found += [
            BodyPoint(FrameNumber(f), n, *uv) for n, uv in zip(clip.names, clicks.tolist(), strict=True)
        ]
    return found


def shifts(clip: Clip, rng: np.random.Generator, what: str) -> Floats:
    """How far every point lies from where it would be followed, px, (n, 19, 2)."""
    if what == PLACED:
        return np.zeros_like(clip.pixels)
    joints = [n.split("_", 1)[-1] for n in clip.names]
    sizes = [0.01 if what == CENTIMETRE else ANATOMY_M.get(j, ANATOMY_ELSE_M) for j in joints]
    moved = rng.normal(0.0, 1.0, (len(sizes), 2)) * np.array(sizes)[:, None] * clip.px_per_m
    out: Floats = np.broadcast_to(moved, clip.pixels.shape)
    return out if what == CENTIMETRE else out + _beside(clip, rng)


def _beside(clip: Clip, rng: np.random.Generator) -> Floats:
    """Limbs and the athlete's line nearer to the camera or farther from it than they are drawn, px: what is
    nearer is seen farther from the point that the camera faces.
    """
    lane = rng.normal(0.0, LANE_U_M)
    drawn = {j: rng.uniform(-half, half) for j, (_, half) in OFFSETS_M.items()}
    foot = rng.uniform(-FOOT_OFFSET_HALF_M, FOOT_OFFSET_HALF_M)
    drawn |= dict.fromkeys(("ankle", "heel", "toe"), foot)
    drawn["knee"] += (drawn["hip"] + foot) / 2
    near = str(clip.truth.numbers["near_side"])
    nearer = np.full(len(clip.names), lane)
    for i, name in enumerate(clip.names):
        side, _, joint = name.partition("_")
        if joint in drawn and side in ("left", "right"):
            nearer[i] += drawn[joint] * (1.0 if side == near else -1.0)
    camera = clip.truth.numbers["camera"]
    facing = np.array(camera["principal_point_px"])
    return (clip.pixels - facing) * (nearer / camera["distance_m"])[None, :, None]


def evidence_for(clip: Clip, seed: int, what: str, chance: int, folder: Path) -> Evidence:
    """The run with its points followed; ``chance``: which draw of what is off all through the film. Tracks
    are kept in the folder.
    """
    rng = np.random.default_rng([seed, 99])
    film = open_film(clip.path)
    frames = range(12, film.frames, EVERY)
    points = placed(clip, frames, rng)
    evidence = evidence_of(clip.truth.sheet)
    kept = folder / f"{clip.path.stem}.tracks.npz"
    if not kept.exists():
        direction = Direction(clip.truth.numbers["direction"])
        write_tracks(follow_points(film, points, frames[0], frames[-1], direction), kept)
    tracks: Tracks = read_tracks(kept)
    rng = np.random.default_rng([seed, ROUNDS.index(what), chance])
    off = shifts(clip, rng, what)
    columns = [clip.names.index(n) for n in tracks.names]
    places = tracks.places + off[tracks.first : tracks.last + 1][:, columns]
    index = {n: i for i, n in enumerate(clip.names)}
    moved = [
        replace(p, u=p.u + off[p.frame, index[p.name], 0], v=p.v + off[p.frame, index[p.name], 1])
        for p in points
    ]
    marks = tuple(
        replace(m, u=m.u + rng.normal(0, CLICK_PX), v=m.v + rng.normal(0, CLICK_PX))
        for m in evidence.run.marks
    )
    run = replace(evidence.run, points=tuple(moved), lines=(), marks=marks)
    return replace(evidence, run=run, tracks=replace(tracks, places=places))


def angles_of(clip: Clip, frames: Floats) -> Iterator[tuple[str, str, Floats]]:
    """Measure, side and truth of every angle in the plane of the run on frames, deg."""
    metres = {n: clip.truth.arrays["metres"][frames, i, :2] for i, n in enumerate(clip.names)}

    def turn(low: Floats, high: Floats) -> Floats:
        return np.degrees(np.arctan2(*(high - low).T[::-1]))

    def between(one: Floats, other: Floats) -> Floats:
        return np.abs(180.0 - (180.0 - (one - other)) % 360.0)

    hips, shoulders = (
        (metres[f"left_{joint}"] + metres[f"right_{joint}"]) / 2 for joint in ("hip", "shoulder")
    )
    yield "trunk_deg", "", turn(hips, shoulders)
    for side in ("left", "right"):
        hip, knee, ankle = (metres[f"{side}_{joint}"] for joint in ("hip", "knee", "ankle"))
        yield "shin_deg", side, turn(ankle, knee)
        yield "thigh_deg", side, turn(knee, hip)
        yield "knee_deg", side, 180.0 - between(turn(knee, hip), turn(ankle, knee))


def curves(clip: Clip, reading: Reading, tally: Tally) -> None:
    """Angles and the way of the centre of mass, on every third frame."""
    near = str(clip.truth.numbers["near_side"])
    known = {(s.measure, s.side.value if s.side else ""): s for s in reading.series}
    for (measure, side), series in known.items():
        rows = slice(None, None, 3)
        true = {(m, s): t for m, s, t in angles_of(clip, series.frames[rows])}.get((measure, side))
        if true is not None:
            label = {"": "", near: ", near side"}.get(side, ", far side")
            tally.add_curve(f"{measure}{label}", series.value[rows], series.u[rows], true)
    path = reading.mass_path
    if path is not None:
        for axis, name in enumerate(("x", "y")):
            true = clip.truth.arrays["com_m"][path.frames, axis]
            tally.add_curve(f"centre of mass {name}, m", path.metres[:, axis], path.u_m[:, axis], true)


def events(clip: Clip, reading: Reading, evidence: Evidence, tally: Tally) -> None:
    """What is read at touchdowns and toe-offs, in the flights, and of the launch."""
    numbers, last = clip.truth.numbers, int(evidence.tracks.last) if evidence.tracks else 0
    rows = {(r.measure, r.step, r.moment): r.result for r in reading.posture}
    for step, shown in zip(numbers["steps"], reading.steps, strict=False):
        for moment, names in AT_EVENTS.items():
            frame = shown.touchdown if moment is Moment.TOUCHDOWN else shown.toe_off
            if frame is None or frame >= last:
                continue
            for name in names:
                truth = step.get(TRUTH_NAMES.get((name, moment), name))
                if truth is not None:
                    where = moment.value.replace("_", "-")
                    tally.add(f"{name}, {where}", rows.get((name, step["step"], moment)), truth)
    start = numbers["start"]
    tally.add("trunk_lead_deg", reading.start.trunk_lead_deg, start["trunk_lead_deg"])
    tally.add("hip_share", reading.start.hip_share, start["hip_share"])
    for step_number, length, truth in flights(clip, evidence, last):
        kind = "80 ms and more" if length >= LONG_S else "shorter"
        tally.add(f"projection_deg, {kind}", rows.get(("projection_deg", step_number, Moment.FLIGHT)), truth)


def flights(clip: Clip, evidence: Evidence, last: int) -> Iterator[tuple[int, float, float]]:
    """Number, length in s and true direction at its beginning, deg, of every flight that is in the tracks."""
    arrays, numbers = clip.truth.arrays, clip.truth.numbers
    times, com = arrays["times_s"], arrays["com_m"]
    downs, offs = numbers["events"]["touchdown_s"], numbers["events"]["toe_off_s"]
    begins = [numbers["events"]["front_toe_off_s"], *offs]
    for number, (off, down) in enumerate(zip(begins, downs, strict=False)):
        inside = np.flatnonzero((times >= off) & (times < down))
        if len(inside) < 3 or inside[-1] >= last:
            continue
        t = times[inside] - off
        vx = np.polyfit(t, com[inside, 0], 1)[0]
        vy = np.polyfit(t, com[inside, 1] + G * t * t / 2, 1)[0]
        yield number, float(down - off), float(np.degrees(np.arctan2(vy, vx)))


def clips(folder: Path, seeds: range, scales: list[float]) -> Iterator[tuple[str, int, Clip]]:
    """The films by group: the sample clips, and seeds at each scale."""
    for n, name in enumerate(("wing_day1", "wing_day2")):
        yield "sample clips", n, Clip(SAMPLES / f"{name}.mp4", read_truth(SAMPLES, name), SAMPLE_PX_PER_M)
    for scale in scales:
        for seed in seeds:
            yield f"{scale:g} px/m", seed, make_clip(folder, seed, scale)


GOALS: tuple[tuple[str, str, float | None, float | None, float], ...] = (
    ("trunk", "trunk_deg", 3.0, 2.0, 1.0),
    ("shin, near side", "shin_deg, near side", 3.0, 2.0, 1.0),
    ("shin, far side", "shin_deg, far side", 3.0, 2.0, 1.0),
    ("thigh, near side", "thigh_deg, near side", 3.0, 2.0, 1.0),
    ("thigh, far side", "thigh_deg, far side", 3.0, 2.0, 1.0),
    ("knee, near side", "knee_deg, near side", None, None, 1.0),
    ("knee, far side", "knee_deg, far side", None, None, 1.0),
    ("shin at touchdown", "shin_deg, touchdown", 3.0, 2.0, 1.0),
    ("shin at toe-off", "shin_deg, toe-off", 3.0, 2.0, 1.0),
    ("trunk at touchdown", "trunk_deg, touchdown", 3.0, 2.0, 1.0),
    ("trunk at toe-off", "trunk_deg, toe-off", 3.0, 2.0, 1.0),
    ("centre of mass, along", "centre of mass x, m", 2.0, 2.0, 100.0),
    ("centre of mass, height", "centre of mass y, m", 2.0, 2.0, 100.0),
    ("touchdown distance", "touchdown_distance_m, touchdown", 3.0, 3.0, 100.0),
    ("toe-off distance", "toe_off_distance_m, toe-off", None, None, 100.0),
    ("knee gap at touchdown", "knee_gap_m, touchdown", None, None, 100.0),
    ("projection, flights of 80 ms and more", "projection_deg, 80 ms and more", 2.0, 2.0, 1.0),
    ("projection, shorter flights", "projection_deg, shorter", 4.0, 4.0, 1.0),
    ("trunk lead", "trunk_lead_deg", 4.0, 4.0, 1.0),
    ("hip share", "hip_share", None, None, 1.0),
)
"""What is shown: words, name, goals at up to 100 px/m and above, factor to deg and cm."""


def row(words: str, name: str, goal: float | None, factor: float, tally: Tally) -> str:
    """A line: number, root mean square, what 95 % stay within, goal, intervals that held, refused."""
    off = factor * np.abs(tally.numbers(name))
    if not len(off):
        return f"| {words} | 0 | | | | | {tally.refused(name)} |"
    rms, most = float(np.sqrt(np.mean(off**2))), float(np.quantile(off, 0.95))
    judged = rms if words.startswith("centre of mass") else most
    mark = "" if goal is None else f"{goal:g} ✓" if judged <= goal else f"{goal:g} **missed**"
    wrong = sum(f.wrong_sign for f in tally.found[name]) if name == "trunk_lead_deg" else 0
    wide = f" {wrong} with a wrong sign" if wrong else ""
    held = tally.held(name)
    return (
        f"| {words} | {len(off)} | {rms:.2g} | {most:.2g} | {mark} | {held:.1f}{wide} | "
        f"{tally.refused(name)} |"
    )


def page(tallies: dict[tuple[str, str], Tally]) -> str:
    """All tables in Markdown: errors as placed, then how often intervals held in each round."""
    groups = list(dict.fromkeys(group for group, _ in tallies))
    lines = []
    for group in groups:
        finer = group.startswith("160")
        lines += [f"{group[0].upper()}{group[1:]}:", ""]
        lines += ["| deg, cm | n | RMS | 95 % | goal | held | refused |", "|---|---|---|---|---|---|---|"]
        for words, name, coarse, fine, factor in GOALS:
            goal = fine if finer else coarse
            lines.append(row(words, name, goal, factor, tallies[group, PLACED]))
        lines.append("")
    lines += ["Intervals that held the truth, %, all films:", ""]
    lines += ["| | " + " | ".join(ROUNDS) + " |", "|---|" + "---|" * len(ROUNDS)]
    for words, name, *_ in GOALS:
        cells = []
        for joints in ROUNDS:
            all_found = [f for g in groups for f in tallies[g, joints].found.get(name, []) if not f.refused]
            cells.append(f"{100 * np.mean([f.held for f in all_found]):.1f}" if all_found else "")
        lines.append(f"| {words} | " + " | ".join(cells) + " |")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Render, follow, read; print the tables, with ``--write PAGE`` into the page."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--seeds", type=int, nargs=2, default=(201, 210))
    asked.add_argument("--scales", type=float, nargs="*", default=(100.0, 160.0))
    asked.add_argument("--times", type=int, default=4, help="draws of what is off all through a film")
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    wishes.folder.mkdir(parents=True, exist_ok=True)
    tallies: dict[tuple[str, str], Tally] = {}
    seeds = range(wishes.seeds[0], wishes.seeds[1] + 1)
    for group, seed, clip in clips(wishes.folder, seeds, list(wishes.scales)):
        for what in ROUNDS:
            tally = tallies.setdefault((group, what), Tally())
            for chance in range(wishes.times):
                evidence = evidence_for(clip, seed, what, chance, wishes.folder)
                reading = read(evidence)
                curves(clip, reading, tally)
                events(clip, reading, evidence, tally)
        print(f"{group} {clip.path.stem} done", flush=True)
    text = page(tallies)
    print(text)
    if wishes.write:
        wishes.write.write_text(section(wishes.write.read_text(encoding="utf-8"), "posture", text), "utf-8")


if __name__ == "__main__":
    main()
