"""Drafts of runs drawn later, windows among them, and of their starts. `... --films FOLDER --write PAGE`

`python3 -m tests.bench.bench_draft_later`: three lots of runs whose seeds were not looked at before each was
drafted for the first time. What each camera's start push came to is held against its renderer.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from analysis.derive.footfalls import Draft
from tests.bench.bench_draft import confidence_rows, drafted, measured
from tests.bench.drafted_clips import Wish, made
from tests.bench.pages import tell
from tests.helpers.capsule_runs import drawn_run

_MAKES = ("capsule", "hall", "track", "meadow")

FIRST = [
    Wish("capsule", 9811, 240.0, "window"), Wish("track", 9812, 120.0, "window"),
    Wish("hall", 9813, 60.0, "window"), Wish("meadow", 9814, 240.0, "window"),
    Wish("hall", 9815, 120.0, "window", worn=True), Wish("track", 9816, 60.0, "window"),
    Wish("capsule", 9817, 120.0, "still"), Wish("meadow", 9818, 60.0, "still"),
    Wish("track", 9819, 240.0, "still"), Wish("hall", 9820, 240.0, "still"),
    Wish("capsule", 9821, 60.0, "panning"), Wish("hall", 9822, 240.0, "panning"),
    Wish("meadow", 9823, 120.0, "hand-held"), Wish("track", 9824, 240.0, "panning", worn=True),
]  # fmt: skip
"""Looked at before the start push was read through the background map."""

SECOND = [
    Wish("capsule", 9901, 240.0, "panning"), Wish("hall", 9902, 120.0, "window"),
    Wish("track", 9903, 60.0, "still"), Wish("meadow", 9904, 240.0, "panning"),
    Wish("track", 9905, 240.0, "panning"), Wish("capsule", 9906, 120.0, "window", worn=True),
    Wish("meadow", 9907, 60.0, "hand-held"), Wish("hall", 9908, 240.0, "panning", worn=True),
    Wish("track", 9909, 240.0, "window"), Wish("meadow", 9910, 120.0, "window"),
    Wish("hall", 9911, 60.0, "still"), Wish("capsule", 9912, 240.0, "hand-held"),
]  # fmt: skip
"""Looked at once, after which runs that come in running were told from those that start at rest."""

THIRD = [
    Wish("capsule", 9931, 120.0, "window"), Wish("hall", 9932, 60.0, "panning"),
    Wish("track", 9933, 240.0, "hand-held"), Wish("meadow", 9934, 240.0, "still"),
    Wish("track", 9935, 120.0, "window"), Wish("capsule", 9936, 60.0, "panning", worn=True),
    Wish("meadow", 9937, 240.0, "window"), Wish("hall", 9938, 240.0, "hand-held", worn=True),
    Wish("track", 9939, 120.0, "still"), Wish("meadow", 9940, 60.0, "panning"),
    Wish("hall", 9941, 240.0, "window"), Wish("capsule", 9942, 240.0, "still"),
]  # fmt: skip
"""Looked at once, after which feet were looked for behind the first step."""

_SECONDS = {"capsule": None, "meadow": 1.8, "track": 2.2, "hall": 2.0}
"""How long each renderer's films are, as `tests/bench/drafted_clips.py` draws them."""
_EVENTS = ("first movement", "rear toe-off", "front toe-off")


def start_of(wish: Wish) -> tuple[int, int, int] | None:
    """The frames of first movement and of both feet's toe-offs; None of one who comes in running."""
    pan, shake, window = (wish.camera == one for one in ("panning", "hand-held", "window"))
    seconds = _SECONDS[wish.renderer]
    run = drawn_run(wish.seed, wish.fps, pan=pan, shake=shake, seconds=seconds, window=window)
    if run.rear_s is None:
        return None
    first, rear, front = (math.ceil(at * run.fps) for at in (run.rest_s, run.rear_s, run.front_s))
    return first, rear, front


def start_rows(wishes: Sequence[Wish], drafts: Sequence[Draft]) -> list[str]:
    """What was told of the starts that the films show, camera by camera, and how far off in ms."""
    lines = ["| camera | starts | " + " | ".join(_EVENTS) + " |", "|---|---|---|---|---|"]
    for camera in sorted({one.camera for one in wishes}):
        cells, starts = [], 0
        off: list[list[float]] = [[], [], []]
        for wish, draft in zip(wishes, drafts, strict=True):
            true = start_of(wish)
            if wish.camera != camera or true is None:
                continue
            starts += 1
            start = draft.start
            told = (start.first_movement, start.rear_toe_off, start.front_toe_off)
            for kept, found, at in zip(off, told, true, strict=True):
                if found is not None:
                    kept.append(1000 * (found - at) / wish.fps)
        for one in off:
            ms = np.abs(one)
            cells.append(f"{len(one)}: {np.median(ms):.0f} / {ms.max():.0f}" if one else "0")
        lines.append(f"| {camera} | {starts} | " + " | ".join(cells) + " |")
    return lines


def section(films: Path, processes: int) -> str:
    """The page's section."""
    films.mkdir(parents=True, exist_ok=True)
    out, wishes, drafts = [], list[Wish](), list[Draft]()
    with get_context("spawn").Pool(processes) as pool:
        for name, lot in (("first", FIRST), ("second", SECOND), ("third", THIRD)):
            clips = [made(one, films) for one in lot]
            these = pool.map(drafted, clips, chunksize=1)
            wishes, drafts = [*wishes, *lot], [*drafts, *these]
            tallies, lines = measured(clips, these)
            out += [
                f"The {name} {len(lot)}, seeds {lot[0].seed} to {lot[-1].seed}:",
                "",
                "| runs | n | events | found | invented | touchdown | toe-off | place, cm, median / 95 % |",
                "|---|---|---|---|---|---|---|---|",
                *(tallies[one].row(one) for one in sorted(tallies) if one.split(",")[0] not in _MAKES),
                "",
                *confidence_rows(tallies["all"]),
                "",
                *(f"- {line}" for line in lines if not line.endswith("nothing wrong")),
                "",
            ]
    out += [
        "Starts that these films show: how many were told, and how far off in ms, median / worst.",
        "",
        *start_rows(wishes, drafts),
    ]
    return "\n".join(out) + "\n"


def main() -> None:
    """Draw, draft, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--films", type=Path, required=True)
    asked.add_argument("--write", type=Path)
    asked.add_argument("--processes", type=int, default=2)
    wishes = asked.parse_args()
    tell(section(wishes.films, wishes.processes), wishes.write, "later footfalls")


if __name__ == "__main__":
    main()
