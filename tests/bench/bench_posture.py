"""Posture of rendered runs whose points are placed on every 12th frame and followed between, as `read` reads
it: `python3 -m tests.bench.bench_posture FOLDER --write docs/validation.md`.

Films and tracks are kept in FOLDER. Clicks are off by 1.5 px (normal), in the second and third round those on
marks too. In the second round each joint is a centimetre elsewhere than its truth, in the third as far as a
reading assumes, and the limbs and the athlete's line lie as far beside the marked one as it assumes; the same
all through a film. Placed and followed points are shifted alike: what is the same on every frame does not
change how they are followed.
"""

from __future__ import annotations

import argparse
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from analysis.reading import read
from analysis.values.estimate import Estimate
from analysis.values.evidence import Evidence
from analysis.values.posture import Moment
from analysis.values.reading import Reading
from tests.bench.followed_clips import Clip
from tests.bench.pages import write_sections
from tests.bench.posture_truth import PLACED, ROUNDS, angles_of, clips, evidence_for, flights

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


RMS, MOST = "RMS", "95 %"
GOALS: tuple[tuple[str, str, str, float | None, float | None, float], ...] = (
    ("trunk", "trunk_deg", RMS, 3.0, 2.0, 1.0),
    ("shin, near side", "shin_deg, near side", RMS, 3.0, 2.0, 1.0),
    ("shin, far side", "shin_deg, far side", RMS, None, None, 1.0),
    ("thigh, near side", "thigh_deg, near side", RMS, 3.0, 2.0, 1.0),
    ("thigh, far side", "thigh_deg, far side", RMS, None, None, 1.0),
    ("knee, near side", "knee_deg, near side", RMS, 3.0, 2.0, 1.0),
    ("knee, far side", "knee_deg, far side", RMS, None, None, 1.0),
    ("shin at touchdown", "shin_deg, touchdown", RMS, 3.0, 2.0, 1.0),
    ("shin at toe-off", "shin_deg, toe-off", RMS, 3.0, 2.0, 1.0),
    ("trunk at touchdown", "trunk_deg, touchdown", RMS, 3.0, 2.0, 1.0),
    ("trunk at toe-off", "trunk_deg, toe-off", RMS, 3.0, 2.0, 1.0),
    ("centre of mass, along", "centre of mass x, m", RMS, 2.0, 2.0, 100.0),
    ("centre of mass, height", "centre of mass y, m", RMS, 2.0, 2.0, 100.0),
    ("touchdown distance", "touchdown_distance_m, touchdown", MOST, 3.0, 3.0, 100.0),
    ("toe-off distance", "toe_off_distance_m, toe-off", MOST, None, None, 100.0),
    ("knee gap at touchdown", "knee_gap_m, touchdown", MOST, None, None, 100.0),
    ("projection, flights of 80 ms and more", "projection_deg, 80 ms and more", MOST, 2.0, 2.0, 1.0),
    ("projection, shorter flights", "projection_deg, shorter", MOST, 4.0, 4.0, 1.0),
    ("trunk lead", "trunk_lead_deg", MOST, 4.0, 4.0, 1.0),
    ("hip share, %", "hip_share", MOST, None, None, 100.0),
)
"""What is shown: words, name, what is judged, goals at up to 100 px/m and above, factor to deg and cm."""


def row(words: str, name: str, judged: str, goal: float | None, factor: float, tally: Tally) -> str:
    """A line: number, root mean square, what 95 % stay within, goal, intervals that held, refused."""
    off = factor * np.abs(tally.numbers(name))
    if not len(off):
        return f"| {words} | 0 | | | | | {tally.refused(name)} |"
    rms, most = float(np.sqrt(np.mean(off**2))), float(np.quantile(off, 0.95))
    reached = rms if judged == RMS else most
    met = "" if goal is None else "✓" if reached <= goal else "**missed**"
    mark = "" if goal is None else f"{judged} {goal:g} {met}"
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
        for words, name, judged, coarse, fine, factor in GOALS:
            goal = fine if finer else coarse
            lines.append(row(words, name, judged, goal, factor, tallies[group, PLACED]))
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


def wanted_seeds(wishes: argparse.Namespace) -> dict[int, tuple[int, int]]:
    """First and last seed by px a metre."""
    return {100: tuple(wishes.seeds), 160: tuple(wishes.finer)}


def main() -> None:
    """Render, follow, read; print the tables, with ``--write PAGE`` into the page."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--seeds", type=int, nargs=2, default=(201, 210))
    asked.add_argument("--finer", type=int, nargs=2, default=(201, 210), help="seeds at 160 px a metre")
    asked.add_argument("--times", type=int, default=3, help="draws of what is off all through a film")
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    wishes.folder.mkdir(parents=True, exist_ok=True)
    tallies: dict[tuple[str, str], Tally] = {}
    wanted = {scale: range(a, b + 1) for scale, (a, b) in wanted_seeds(wishes).items()}
    for group, seed, clip in clips(wishes.folder, wanted):
        for what in ROUNDS:
            tally = tallies.setdefault((group, what), Tally())
            for chance in range(1 if what == PLACED else wishes.times):
                evidence = evidence_for(clip, seed, what, chance, wishes.folder)
                reading = read(evidence)
                curves(clip, reading, tally)
                events(clip, reading, evidence, tally)
        print(f"{group} {clip.path.stem} done", flush=True)
    seeds = ", ".join(f"{a} to {b} at {scale} px" for scale, (a, b) in wanted_seeds(wishes).items())
    text = f"Sample clips, and seeds {seeds} a metre.\n\n{page(tallies)}"
    print(text)
    if wishes.write:
        write_sections(wishes.write, {"posture": text})


if __name__ == "__main__":
    main()
