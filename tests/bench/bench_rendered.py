"""Rendered runs from other seeds, read and held against their truth: `python3 -m tests.bench.bench_rendered`.

Films whose cameras turn are drawn into FOLDER, unless they are there, and their backgrounds followed.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np

from analysis.reading import read
from analysis.values.estimate import Estimate, Result
from analysis.values.reading import Reading
from tests.bench.coverage_truth import CLICK_PX
from tests.bench.pages import write_sections
from tests.helpers.rendered_runs import TURNING, WISHES, Json, Rendered

FINE_PX = 0.5
STEPS = {
    "contact_s": "contact_s",
    "flight_s": "flight_s",
    "step_time_s": "step_time_s",
    "step_length_m": "step_length_m",
    "step_velocity_m_s": "step_velocity_hip_m_s",
    "foot_to_foot_speed_m_s": "foot_to_foot_speed_m_s",
    "shin_touchdown_deg": "shin_touchdown_deg",
    "shin_toe_off_deg": "shin_toe_off_deg",
    "trunk_touchdown_deg": "trunk_touchdown_deg",
}
GOALS = {"speed": (0.05, 0.10), "length": (0.02, 0.04), "split": (0.010, 0.010)}
"""Still and turning: m/s at 10 m, m, s."""
KINDS = {"speed": ("local", "model"), "length": ("step_length_m",), "split": ("split", "front split")}


def pairs(reading: Reading, truth: Json) -> Iterator[tuple[str, Result, float]]:
    """Every number of a reading with its name and its truth."""
    for step, of in zip(reading.steps, truth["steps"], strict=True):
        for name, key in STEPS.items():
            if of.get(key) is not None:
                yield name, getattr(step, name), of[key]
    hip = truth["marks"][1]["hip"]
    speed, split = reading.speeds[1], reading.splits[1]
    yield "local", speed.local_m_s, hip["step_averaged_m_s"]
    yield "model", speed.model_m_s, hip["step_averaged_m_s"]
    yield "split", split.time_s, hip["split_s"]
    yield "front split", split.from_front_toe_off_s, hip["split_from_front_toe_off_s"]


def errors(
    run: Rendered, error_px: float, times: int, marks_alone: bool = False
) -> dict[str, list[tuple[float, bool]]]:
    """By name: how far numbers are off and whether their intervals hold the truth, over so many markings."""
    found: dict[str, list[tuple[float, bool]]] = {}
    for chance in range(times):
        evidence = run.evidence(error_px, chance, marks_alone)
        for name, shown, truth in pairs(read(evidence), run.numbers):
            if isinstance(shown, Estimate):
                off = shown.value - truth
                found.setdefault(name, []).append((off, shown.low <= truth <= shown.high))
    return found


def row(run: Rendered, usual: dict[str, list[tuple[float, bool]]]) -> str:
    """A line of the page's table: clicks that are exact, then clicks with their usual error."""
    exact = errors(run, 0.0, 1)
    turns = run.wish.camera in TURNING
    cells = [run.wish.name]
    for goal, names in KINDS.items():
        limit, factor = GOALS[goal][turns], {"speed": 1.0, "length": 100.0, "split": 1000.0}[goal]
        digits = 2 if goal == "speed" else 1
        for found in (exact, usual):
            off = np.abs([off for name in names for off, _ in found.get(name, [])])
            if not len(off):
                cells.append("not read")
            elif found is exact:
                mark = " **missed**" if off.max() > limit else ""
                cells.append(f"{factor * off.max():.{digits}f}{mark}")
            else:
                within = 100 * np.mean(off <= limit)
                cells.append(f"{factor * np.median(off):.{digits}f}, {within:.0f} %")
    for chosen in (("local", "model", "split", "front split", "step_length_m"), tuple(usual)):
        held = [hit for name in chosen for _, hit in usual.get(name, [])]
        cells.append(f"{100 * np.mean(held):.1f}")
    return "| " + " | ".join(cells) + " |"


def share_within(found: dict[str, list[tuple[float, bool]]], goal: str) -> str:
    """In % of the numbers of a kind, those within the goal of a standing camera."""
    off = np.abs([off for name in KINDS[goal] for off, _ in found.get(name, [])])
    return f"{100 * np.mean(off <= GOALS[goal][0]):.0f}"


def at_best(run: Rendered) -> float:
    """The share of step lengths within the goal where nothing but one click on either shoe is off.

    Closed formula: the difference of two normal errors of a click lies within g with probability
    erf(g / (sqrt(2) u)). The pixels of a metre are the renderer's own.
    """
    shares = []
    for step in run.numbers["steps"]:
        if step.get("step_length_m") is not None:
            ends = step["shoe_tip_x_m"], step["shoe_tip_x_m"] + step["step_length_m"]
            u = math.hypot(*(CLICK_PX / run.pixels_per_m(x) for x in ends))
            shares.append(math.erf(GOALS["length"][0] / u / math.sqrt(2)))
    return float(np.mean(shares))


def limits(run: Rendered, usual: dict[str, list[tuple[float, bool]]], times: int) -> str:
    """A line of the table that says what stands in the way: shares within the goals."""
    marks, fine = errors(run, CLICK_PX, times, marks_alone=True), errors(run, FINE_PX, times)
    cells = [share_within(of, "speed") for of in (usual, marks, fine)]
    cells += [share_within(usual, "length"), f"{100 * at_best(run):.0f}", share_within(fine, "length")]
    return "| " + " | ".join([run.wish.name, *cells]) + " |"


def main() -> None:
    """Draw, follow, mark, read; print the table, with ``--write PAGE`` into the page."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--times", type=int, default=40)
    asked.add_argument("--seeds", type=int, nargs="*", help="only these; nothing is written")
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    cv2.setNumThreads(1)
    wishes.folder.mkdir(parents=True, exist_ok=True)
    lines = [
        "| film | m/s, exact | usual | cm, exact | usual | ms, exact | usual | these held | all held |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    why = [
        "| film | m/s: all 1.5 px | marks alone | all 0.5 px | cm: all 1.5 px | at best | all 0.5 px |",
        "|---|---|---|---|---|---|---|",
    ]
    for wish in [wish for wish in WISHES if not wishes.seeds or wish.seed in wishes.seeds]:
        run = Rendered(wish, wishes.folder)
        usual = errors(run, CLICK_PX, wishes.times)
        lines.append(row(run, usual))
        print(lines[-1], flush=True)
        if wish.camera not in TURNING:
            why.append(limits(run, usual, wishes.times))
            print(why[-1], flush=True)
    if wishes.write and not wishes.seeds:
        tables = {"rendered": lines, "limits": why}
        write_sections(wishes.write, {name: "\n".join(rows) + "\n" for name, rows in tables.items()})


if __name__ == "__main__":
    main()
