"""Legs of real starts at 30 frames a second followed from labels by eye.

`python3 -m tests.bench.bench_starts_legs FOLDER`; the folder holds the films that `data/starts_legs.json`
names. Prints how many labels are met from the first and the last frame alone, what it costs to put right
what is off, and how far points are off between labels near by. `--share`: of the body's height, within which
a label is met. `--write PAGE` sets the page's section anew.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np

from analysis.body.slips import slips
from analysis.derive.following import follow_again, follow_points
from analysis.values.run import BodyPoint
from analysis.values.tracks import Standing, Tracks
from tests.bench.pages import write_sections
from tests.bench.starts_legs import Floats, Legs, read_legs

SHARE = 0.05
CORRECTED = (
    "film",
    "height, px",
    "met from first and last",
    "corrections",
    "followed again",
    "processor, s, median / most",
    "asked",
    "on labelled frames",
    "and off",
)
APART = ("placed", "point", "n", "median, %", "worst, %", "met", "held", "straight lines, median, %")


@dataclass
class Corrected:
    """What it cost to put a film right: points placed anew, followings after them with seconds of the
    processor each, points that the program asked about on the way, and those of them that were off, as far
    as their frames are labelled.
    """

    met_at_first: int
    judged: int
    corrections: int = 0
    seconds: list[float] = field(default_factory=list)
    asked: int = 0
    asked_labelled: int = 0
    asked_rightly: int = 0


def follow(legs: Legs, frames: Iterable[int]) -> Tracks:
    """Followed from the labels of these frames."""
    points = [p for f in frames for p in legs.points(f)]
    return follow_points(legs.film, points, legs.frames[0], legs.frames[-1], legs.direction)


def off_px(tracks: Tracks, legs: Legs, frame: int) -> Floats:
    """How far each point lies from its label, (5, 2); infinite where it is not known."""
    row = frame - int(tracks.first)
    columns = [tracks.names.index(name) for name in legs.names]
    off = tracks.places[row, columns] - legs.places[frame]
    return np.where(np.isfinite(off), off, np.inf)


def correct(legs: Legs, share: float) -> Corrected:
    """From the first and the last frame on: on the first labelled frame with points that are off these are
    placed, and the rest is followed again, until every label is met.
    """
    first, last = legs.frames[0], legs.frames[-1]
    points = [*legs.points(first), *legs.points(last)]
    tracks = follow_points(legs.film, points, first, last, legs.direction)
    off = _off(tracks, legs, points, share)
    done = Corrected(5 * (len(legs.frames) - 2) - sum(map(len, off.values())), 5 * (len(legs.frames) - 2))
    _count_asked(done, tracks, legs, off)
    while off:
        frame = min(off)
        points += legs.points(frame, off[frame])
        done.corrections += len(off[frame])
        begun = time.process_time()
        tracks = follow_again(legs.film, tracks, points, first, last, legs.direction)
        done.seconds.append(time.process_time() - begun)
        off = _off(tracks, legs, points, share)
        _count_asked(done, tracks, legs, off)
    return done


def _off(tracks: Tracks, legs: Legs, points: Sequence[BodyPoint], share: float) -> dict[int, list[int]]:
    """Frames with labels that are not met, and the columns of these; what is placed is met."""
    placed = {(int(p.frame), p.name) for p in points}
    found = {}
    for frame in legs.frames:
        far = np.linalg.norm(off_px(tracks, legs, frame), axis=1) > share * legs.height_px
        columns = [int(c) for c in np.flatnonzero(far) if (frame, legs.names[c]) not in placed]
        if columns:
            found[frame] = columns
    return found


def _count_asked(done: Corrected, tracks: Tracks, legs: Legs, off: Mapping[int, list[int]]) -> None:
    """Count what the program asks to be looked at now."""
    for doubt in slips(tracks, (), legs.film.facts.times.seconds):
        frame = int(doubt.frame)
        done.asked += 1
        if frame in legs.places:
            done.asked_labelled += 1
            done.asked_rightly += legs.names.index(doubt.name) in off.get(frame, [])


@dataclass
class Apart:
    """Points between placed frames: how far off, as a share of the height; the same of straight lines between
    the placed frames; and whether stated intervals of coordinates hold, by joint.
    """

    off: dict[str, list[float]] = field(default_factory=dict)
    straight: dict[str, list[float]] = field(default_factory=dict)
    held: dict[str, list[bool]] = field(default_factory=dict)

    def add(self, legs: Legs, placed: Sequence[int], judged: Iterable[int], label_px: float) -> None:
        """Follow from the labels on the frames ``placed``; ``label_px``: standard uncertainty of a label."""
        tracks = follow(legs, placed)
        for frame in judged:
            off = off_px(tracks, legs, frame)
            line = _straight(legs, placed, frame) - legs.places[frame]
            row = frame - int(tracks.first)
            for column, (joint, name) in enumerate(zip(legs.joints, legs.names, strict=True)):
                u = np.hypot(tracks.u_px[row, tracks.names.index(name)], label_px)
                self._tell(self.off, joint, float(np.linalg.norm(off[column])) / legs.height_px)
                self._tell(self.straight, joint, float(np.linalg.norm(line[column])) / legs.height_px)
                assert tracks.standing[row, tracks.names.index(name)] != int(Standing.PLACED)
                self.held.setdefault(joint, []).extend((np.abs(off[column]) <= 1.96 * u).tolist())

    @staticmethod
    def _tell(into: dict[str, list[float]], joint: str, value: float) -> None:
        into.setdefault(joint, []).append(value)

    def rows(self, what: str, share: float) -> list[str]:
        """A line of the table for each joint and one for all."""
        lines = [self._row(what, joint, [joint], share) for joint in self.off]
        return [*lines, self._row(what, "all", list(self.off), share)]

    def _row(self, what: str, name: str, joints: list[str], share: float) -> str:
        off, straight = (
            100 * np.concatenate([each[j] for j in joints]) for each in (self.off, self.straight)
        )
        held = 100 * np.mean(np.concatenate([self.held[j] for j in joints]))
        return (
            f"| {what} | {name} | {len(off)} | {np.median(off):.1f} | {off.max():.1f} "
            f"| {int((off <= 100 * share).sum())} | {held:.0f} % | {np.median(straight):.1f} |"
        )


def _straight(legs: Legs, placed: Sequence[int], frame: int) -> Floats:
    """The points where straight lines between the placed frames before and after have them."""
    before, after = max(f for f in placed if f < frame), min(f for f in placed if f > frame)
    share = (frame - before) / (after - before)
    return (1 - share) * legs.places[before] + share * legs.places[after]


def label_px(every: Iterable[Legs]) -> float:
    """Standard uncertainty of a label along an axis, from those made twice."""
    off = [legs.again[f] - legs.places[f] for legs in every for f in legs.again]
    return float(np.sqrt(np.mean(np.square(off)) / 2))


def section(every: Mapping[str, Legs], share: float) -> str:
    """The section of the page."""
    one = label_px(every.values())
    lines = [_what(one, share), "", *_head(CORRECTED)]
    done = {name: correct(legs, share) for name, legs in every.items()}
    for name, each in done.items():
        lines.append(_corrected_row(name, f"{every[name].height_px:.0f}", [each]))
    lines.append(_corrected_row("all", "", list(done.values())))
    lines += ["", *_head(APART)]
    far, near = Apart(), Apart()
    for legs in every.values():
        ends = legs.wide[0], legs.wide[-1]
        for start in (0, 1):
            placed = sorted({*legs.wide[start::2], *ends})
            far.add(legs, placed, [f for f in legs.wide if f not in placed], one)
        near.add(legs, legs.wide, legs.between, one)
    lines += [*far.rows("two or three frames away", share), *near.rows("every second frame", share)]
    return "\n".join(lines) + "\n"


def _head(columns: Sequence[str]) -> list[str]:
    return [f"| {' | '.join(columns)} |", "|---" * len(columns) + "|"]


def _what(label: float, share: float) -> str:
    return (
        f"Labels made twice on one film differ by {label * np.sqrt(2):.1f} px along an axis (root mean "
        f"square), so that one of them is taken to be good to {label:.1f}, which is weighed in where "
        f"intervals are held against them. Met: within {100 * share:g} % of the body's height, of which "
        "errors are told in %."
    )


def _corrected_row(name: str, height: str, every: Sequence[Corrected]) -> str:
    seconds = [s for each in every for s in each.seconds]
    met, judged, corrections, asked, labelled, rightly = (
        sum(getattr(each, what) for each in every)
        for what in ("met_at_first", "judged", "corrections", "asked", "asked_labelled", "asked_rightly")
    )
    return (
        f"| {name} | {height} | {met} of {judged} | {corrections} | {len(seconds)} "
        f"| {np.median(seconds):.2f} / {max(seconds):.2f} | {asked} | {labelled} | {rightly} |"
    )


def main() -> None:
    """Follow, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("films", type=Path)
    asked.add_argument("--share", type=float, default=SHARE)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    made = section(read_legs(wishes.films), wishes.share)
    print(made)
    if wishes.write:
        write_sections(wishes.write, {"legs of real starts": made})


if __name__ == "__main__":
    main()
