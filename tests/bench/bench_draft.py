"""How good and how quick drafts of footfalls are. `python3 -m tests.bench.bench_draft --films FOLDER`

Draws runs from seeds that were not looked at when they were first drafted (`--films` keeps them for the next
time), drafts them with their marks, and prints what was found, missed and invented. `--write PAGE` sets the
page's section anew. `--real FOLDER` adds the films a1, a5, b1 and b4 of that folder, labelled by eye, which
have a section of their own: with `--runs 0` it alone is set anew.
"""

from __future__ import annotations

import argparse
import json
import math
import tempfile
import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from analysis.derive.footfalls import Draft, DraftFootfall, draft_footfalls
from analysis.film import open_film
from analysis.film.decoding import Decoder
from analysis.jobs.drafted import right_within_frames
from analysis.values.film import Film, FrameNumber
from analysis.values.run import GroundMark
from tests.bench.drafted_clips import HELD_OUT, Clip, made
from tests.bench.pages import write_sections

ROOT = Path(__file__).parents[2]
SURE = (0.0, 0.5, 0.7, 0.8, 0.9, 1.01)
PROCESSES = 4
OVERLAP = 0.4  # of the true contact; a proposal that shares less of it is another one

LABELS = Path(__file__).parent / "data" / "starts.json"


@dataclass
class Tally:
    """What became of the true events of some runs: errors in frames by kind, counts, and confidences."""

    runs: int = 0
    events: int = 0
    invented: int = 0
    touchdown: list[int] = field(default_factory=list)
    toe_off: list[int] = field(default_factory=list)
    place_m: list[float] = field(default_factory=list)
    sure: list[tuple[float, bool]] = field(default_factory=list)

    def add(
        self,
        draft: Draft,
        truth: Sequence[tuple[float, float, float]],
        film: Film,
        margin_px: float,
        beside: Sequence[tuple[float, float]] = (),
    ) -> str:
        """One run; ``truth``: touchdown and toe-off in frames, x in m; ``beside``: of contacts that are not
        judged. A line that says what went wrong.
        """
        rate = film.facts.times.median_rate_hz or 30.0
        tolerance = right_within_frames(rate)
        left = list(draft.footfalls)
        wrong = []
        self.runs += 1
        for on, off, x_m in truth:
            self.events += 2
            one = next((f for f in left if _shared(f, on, off) >= OVERLAP * (off - on)), None)
            if one is None:
                wrong.append(f"contact at frame {math.ceil(on)} missed")
                continue
            left.remove(one)
            errors = []
            for found, true, kept in (
                (one.touchdown, on, self.touchdown),
                (one.toe_off, off, self.toe_off),
            ):
                if found is not None:
                    kept.append(found - math.ceil(true))
                    errors.append(abs(kept[-1]))
            if one.x_m is not None and math.isfinite(x_m):
                self.place_m.append(one.x_m - x_m)
            self.sure.append((one.confidence, len(errors) == 2 and max(errors) <= tolerance))
            if errors and max(errors) > max(3, tolerance):
                wrong.append(f"frame {math.ceil(on)} off by {max(errors)}")
        # What touches the film's ends or the picture's edge can't be judged: the truth leaves it out too.
        for on, off in beside:
            left = [f for f in left if _shared(f, on, off) < OVERLAP * (min(off, film.frames) - on)]
        width = film.shown_size[0]
        false = [
            f
            for f in left
            if f.touchdown is not None
            and f.toe_off is not None
            and margin_px < f.u < width - margin_px
            and f.touchdown > 0.02 * rate
            and f.toe_off < film.frames - 0.02 * rate
        ]
        self.invented += 2 * len(false)
        self.sure += [(f.confidence, False) for f in false]
        wrong += [f"invented at frame {f.touchdown}" for f in false]
        return "; ".join(wrong)

    def row(self, name: str) -> str:
        """A row of the table."""
        found = len(self.touchdown) + len(self.toe_off)
        cells = [
            name,
            str(self.runs),
            str(self.events),
            _share(found, self.events),
            _share(self.invented, self.events),
        ]
        for errors in (self.touchdown, self.toe_off):
            off = np.abs(errors) if errors else np.array([np.nan])
            cells.append(
                f"{np.median(off):g} / {100 * np.mean(off <= 1):.0f} % / {100 * np.mean(off <= 3):.0f} %"
            )
        places = 100 * np.abs(self.place_m)
        told = f"{np.median(places):.0f} / {np.quantile(places, 0.95):.0f}" if len(places) else "none"
        cells.append(told)
        return "| " + " | ".join(cells) + " |"


def _share(count: int, of: int) -> str:
    return f"{100 * count / of:.1f} %" if of else ""


def _shared(one: DraftFootfall, on: float, off: float) -> float:
    begin = on if one.touchdown is None else one.touchdown
    end = off if one.toe_off is None else one.toe_off
    return min(end, off) - max(begin, on)


def drafted(clip: Clip) -> Draft:
    """A clip's draft with its marks, without its strip."""
    marks = tuple(GroundMark(f"m{x:g}", x, 0.0, FrameNumber(0), u, v) for x, u, v in clip.marks)
    return replace(draft_footfalls(open_film(clip.path), marks), strip=None)


def measured(clips: Sequence[Clip], drafts: Sequence[Draft]) -> tuple[dict[str, Tally], list[str]]:
    """Tallies by frame rate, camera and renderer, and lines about what went wrong; a camera that is carried
    along has a row of its own alone.
    """
    tallies: dict[str, Tally] = defaultdict(Tally)
    lines = []
    for clip, draft in zip(clips, drafts, strict=True):
        film = open_film(clip.path)
        truth = [(on * clip.fps, off * clip.fps, x) for on, off, _, x in clip.events]
        beside = [(on * clip.fps, off * clip.fps) for on, off in clip.beside]
        said = ""
        names = [f"{clip.fps:g} a second", clip.camera, renderer_of(clip), "all"]
        for name in [clip.camera] if clip.camera == "walking" else names:
            said = tallies[name].add(draft, truth, film, 0.15 * film.shown_size[1], beside)
        lines.append(f"{clip.name}: {said or 'nothing wrong'}")
        print(lines[-1], flush=True)
    return tallies, lines


def renderer_of(clip: Clip) -> str:
    """Which figure it shows, and whether it is worn."""
    worn = ", worn" if clip.name.endswith("worn") else ""
    return Path(clip.path).stem.split("_")[0] + worn


def confidence_rows(tally: Tally) -> list[str]:
    """How many of the proposals called so sure were right."""
    lines = ["| called | proposals | right | mean called |", "|---|---|---|---|"]
    for low, high in pairwise(SURE):
        these = [(sure, right) for sure, right in tally.sure if low <= sure < high]
        if these:
            share = np.mean([right for _, right in these])
            said = np.mean([sure for sure, _ in these])
            lines.append(f"| {low:.0%} to {min(high, 1):.0%} | {len(these)} | {share:.0%} | {said:.0%} |")
    return lines


def speed_line() -> str:
    """The draft of a 3 s clip at 240 a second beside its decoding, processor time."""
    film = open_film(ROOT / "sample_clips" / "wing_day1.mp4")
    sheet = json.loads((ROOT / "sample_clips" / "wing_day1.json").read_text(encoding="utf-8"))
    marks = tuple(
        GroundMark(f"m{m['x_m']:g}", m["x_m"], 0.0, FrameNumber(0), m["u"], m["v"])
        for m in sheet["marks"]
        if m["y_m"] == 0
    )
    parts = []
    for name, given in (("with marks", marks), ("without", None)):
        ratios = []
        for _ in range(3):
            begun = time.process_time()
            decoder = Decoder(film.path, film.stream)
            while decoder.next() is not None:
                pass
            decoder.close()
            raw = time.process_time() - begun
            begun = time.process_time()
            draft_footfalls(film, given)
            ratios.append((time.process_time() - begun) / raw)
        parts.append(f"{name} {np.median(ratios):.1f}")
    return (
        "Draft of `wing_day1` (3 s, 1280 x 720, 240 a second), processor time over that of its decoding: "
        + ", ".join(parts)
        + "."
    )


def real_rows(folder: Path) -> list[str]:
    """Films labelled by eye: events within one frame."""
    lines = ["| film | events | found | within one frame |", "|---|---|---|---|"]
    total = within = 0
    labels = json.loads(LABELS.read_text(encoding="utf-8"))
    del labels["how"]
    for name, events in labels.items():
        downs, ups = events["touchdown"], events["toe_off"]
        film = open_film(folder / f"{name}.mp4")
        tally = Tally()
        said = tally.add(
            draft_footfalls(film), [(a, b, math.nan) for a, b in zip(downs, ups, strict=True)], film, 0
        )
        errors = np.abs(tally.touchdown + tally.toe_off)
        total, within = total + tally.events, within + int((errors <= 1).sum())
        lines.append(f"| {name} | {tally.events} | {len(errors)} | {int((errors <= 1).sum())} |")
        print(name, said or "nothing wrong", flush=True)
    return [*lines, f"| all | {total} | | {within} ({within / total:.0%}) |"]


def page(tallies: dict[str, Tally], lines: Sequence[str], speed: str) -> str:
    """The section of the page of validation."""
    out = [
        "Found and invented in % of the true events; errors in frames: median / share within 1 / within 3.",
        "",
        "| runs | n | events | found | invented | touchdown | toe-off | place, cm, median / 95 % |",
        "|---|---|---|---|---|---|---|---|",
        *(tallies[name].row(name) for name in sorted(tallies)),
        "",
        "Right: both frames within 2 at 240 a second, 1 below; an invented one is not right.",
        "",
        *confidence_rows(tallies["all"]),
        "",
        speed,
        "",
        "What went wrong, run by run:",
        "",
        *(f"- {line}" for line in lines if not line.endswith("nothing wrong")),
    ]
    return "\n".join(out) + "\n"


def main() -> None:
    """Draw, draft, print; with ``--write PAGE`` set the page's section anew."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--films", type=Path)
    asked.add_argument("--write", type=Path)
    asked.add_argument("--real", type=Path)
    asked.add_argument("--runs", type=int, default=len(HELD_OUT))
    asked.add_argument("--processes", type=int, default=PROCESSES)
    wishes = asked.parse_args()
    bodies = {}
    if wishes.runs:
        bodies["footfalls"] = drawn_section(wishes.films, wishes.runs, wishes.processes)
    if wishes.real:
        bodies["footfalls of real films"] = "\n".join(real_rows(wishes.real)) + "\n"
    print("\n" + "\n".join(bodies.values()))
    if wishes.write:
        write_sections(wishes.write, bodies)


def drawn_section(films: Path | None, runs: int, processes: int) -> str:
    """The section of so many drawn runs, whose films are kept in a folder where one is given."""
    with tempfile.TemporaryDirectory() as own:
        folder = films or Path(own)
        folder.mkdir(parents=True, exist_ok=True)
        clips = [made(one, folder) for one in HELD_OUT[:runs]]
        with get_context("spawn").Pool(processes) as pool:
            tallies, lines = measured(clips, pool.map(drafted, clips, chunksize=1))
    return page(tallies, lines, speed_line())


if __name__ == "__main__":
    main()
