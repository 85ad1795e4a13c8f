"""How fast points are followed, how long their errors last, and what holds beyond the last placed frame:
`python3 -m tests.bench.bench_following_times --write docs/validation.md`.

Both sample clips, every point placed, clicks off by 1.5 px (normal). How fast depends on the machine; the
rest does not.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np

from analysis.derive.following import follow_points, outcome
from analysis.film import open_film
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Tracks
from tests.bench.coverage_truth import CLICK_PX
from tests.bench.followed_clips import Clip
from tests.bench.pages import tell
from tests.bench.posture_truth import EVERY, Floats, placed, sample_runs

TIMES = 3
GAPS = (6, 12, 24, 48)
STRETCHES = (80, 170, 260, 350, 440, 530)
"""First frames of stretches in which a body is placed three times and then followed on."""
BEYOND = (1, 9, 24)
LOOK = 24


def follow(clip: Clip, points: list[BodyPoint], first: int, last: int, *, ahead: bool = False) -> Tracks:
    """Followed through a stretch."""
    direction = Direction(clip.truth.numbers["direction"])
    return follow_points(open_film(clip.path), points, first, last, direction, ahead=ahead)


def errors(clip: Clip, tracks: Tracks) -> Floats:
    """How far every point is off on every frame, px, (n, 19, 2)."""
    columns = [clip.names.index(name) for name in tracks.names]
    return np.asarray(tracks.places - clip.pixels[tracks.first : tracks.last + 1][:, columns])


def whole(clip: Clip) -> int:
    """Up to which frame the whole body is well within the picture."""
    width, height = open_film(clip.path).shown_size
    edge = 6.0 * CLICK_PX
    low, high = np.array([edge, edge]), np.array([width - edge, height - edge])
    inside = ((clip.pixels > low) & (clip.pixels < high)).all(axis=(1, 2))
    return int(np.flatnonzero(inside)[-1])


def speed(clips: list[Clip]) -> str:
    """Frames a second, least and most, by the clock and of the processor."""
    by_clock, of_processor = [], []
    for clip in clips:
        frames = range(EVERY, whole(clip) + 1, EVERY)
        points = placed(clip, frames, np.random.default_rng(1))
        for _ in range(TIMES):
            clock, processor = time.perf_counter(), time.process_time()
            count = len(follow(clip, points, frames[0], frames[-1]))
            by_clock.append(count / (time.perf_counter() - clock))
            of_processor.append(count / (time.process_time() - processor))
    return (
        f"{min(by_clock):.0f} to {max(by_clock):.0f} frames a second by the clock, decoding included, 19 "
        f"points, 1280 x 720; the goal is 60. A second of the processor follows {min(of_processor):.0f} to "
        f"{max(of_processor):.0f}."
    )


def lasting(clips: list[Clip]) -> Iterator[str]:
    """Over how many frames errors lose all but 1/e, as stated (median of the points) and as they do: their
    correlation at lags up to one gap, an exponential fitted.
    """
    for gap in GAPS:
        stated, true = [], []
        for clip in clips:
            frames = range(EVERY, whole(clip) + 1, gap)
            tracks = follow(clip, placed(clip, frames, np.random.default_rng(gap)), frames[0], frames[-1])
            off, lags = errors(clip, tracks), np.arange(1, gap + 1)
            variance = (off**2).mean()
            alike = np.array([(off[:-lag] * off[lag:]).mean() / variance for lag in lags])
            kept = alike > 0.05
            slope = float((lags[kept] * np.log(alike[kept])).sum() / (lags[kept] ** 2).sum())
            stated.append(float(np.median(tracks.memory)))
            true.append(-1.0 / slope)
        yield f"| {gap} | {np.mean(stated):.0f} | {', '.join(f'{each:.0f}' for each in true)} |"


def beyond(clips: list[Clip]) -> str:
    """What 95 % intervals hold beyond the last of three placed frames: as the pictures alone state, and with
    what is added there.
    """
    alone, added = [], []
    for clip in clips:
        for begin in STRETCHES:
            frames = [begin, begin + EVERY, begin + 2 * EVERY]
            points = placed(clip, range(begin, begin + 2 * EVERY + 1, EVERY), np.random.default_rng(begin))
            end = frames[-1] + LOOK
            u, v = clip.pixels[end, clip.names.index("head")]
            points.append(BodyPoint(FrameNumber(end), "head", float(u), float(v)))
            for ahead, kept in ((True, alone), (False, added)):
                tracks = follow(clip, points, begin, end, ahead=ahead)
                others = [n for n, name in enumerate(tracks.names) if name != "head"]
                u_px = tracks.u_px[2 * EVERY + 1 :][:, others]
                off = np.abs(errors(clip, tracks)[2 * EVERY + 1 :][:, others])
                known = np.isfinite(u_px)
                kept.append(np.where(known[..., None], off <= 1.96 * u_px[..., None], np.nan))
    by_frame = [100 * float(np.nanmean([each[n - 1] for each in alone])) for n in BEYOND]
    each_stretch = [100 * float(np.nanmean(each)) for each in added]
    known_for = [int(np.isfinite(each).any(axis=(1, 2)).sum()) for each in added]
    told = ", ".join(f"{held:.0f} % {n} beyond" for n, held in zip(BEYOND, by_frame, strict=True))
    return (
        f"Beyond the last of three placed frames, {len(added)} stretches: as the pictures alone state, "
        f"{told}; with {outcome.DRIFT_PER_S:g} of the body's height a second added, and kept while within "
        f"{100 * outcome.KNOWN_U:g} % of the height, which is {min(known_for)} to {max(known_for)} frames: "
        f"{100 * float(np.nanmean(np.concatenate(added))):.0f} %, by stretch {min(each_stretch):.0f} to "
        f"{max(each_stretch):.0f}."
    )


def main() -> None:
    """Follow, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    clips = sample_runs()
    lines = [
        speed(clips),
        "",
        beyond(clips),
        "",
        "| placed on every so many frames | errors last, frames, stated | and do, on either clip |",
        "|---|---|---|",
        *lasting(clips),
    ]
    tell("\n".join(lines) + "\n", wishes.write, "following times")


if __name__ == "__main__":
    main()
