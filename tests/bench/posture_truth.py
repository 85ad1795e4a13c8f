"""Rendered runs with followed points, more or less off all through a film, and what is true of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from analysis.body.errors import ANATOMY_ELSE_M, ANATOMY_M
from analysis.body.places import OFFSETS_M
from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.ground.ground import FOOT_OFFSET_HALF_M, LANE_U_M
from analysis.values.evidence import Evidence
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction, GroundMark
from analysis.values.tracks import Tracks
from analysis.values.tracks_file import read_tracks, write_tracks
from sample_clips.truth import read_truth
from tests.analysis.reading.runs import SAMPLES, evidence_of
from tests.bench.coverage_truth import CLICK_PX
from tests.bench.followed_clips import Clip, make_clip

EVERY = 12
G = 9.80665
PLACED, CENTIMETRE, ASSUMED = "clicks alone", "joints 1 cm off", "all off as assumed"
ROUNDS = (PLACED, CENTIMETRE, ASSUMED)
SAMPLE_PX_PER_M = 88.0
Floats = np.ndarray[Any, np.dtype[np.float64]]


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


def marks_off(marks: Iterable[GroundMark], rng: np.random.Generator, what: str) -> tuple[GroundMark, ...]:
    """Marks off by clicks, but where only the points are."""
    px = 0.0 if what == PLACED else CLICK_PX
    return tuple(replace(m, u=m.u + rng.normal(0, px), v=m.v + rng.normal(0, px)) for m in marks)


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
    run = replace(evidence.run, points=tuple(moved), lines=(), marks=marks_off(evidence.run.marks, rng, what))
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


def sample_runs() -> list[Clip]:
    """Both sample clips: one whose trunk opens early, one whose hips go."""
    names = ("wing_day1", "wing_day2")
    return [Clip(SAMPLES / f"{name}.mp4", read_truth(SAMPLES, name), SAMPLE_PX_PER_M) for name in names]


def clips(folder: Path, seeds: dict[int, range]) -> Iterator[tuple[str, int, Clip]]:
    """The films by group: the sample clips, and the seeds at each scale."""
    for n, clip in enumerate(sample_runs()):
        yield "sample clips", n, clip
    for scale, of_scale in seeds.items():
        for seed in of_scale:
            yield f"{scale} px/m", seed, make_clip(folder, seed, scale)
