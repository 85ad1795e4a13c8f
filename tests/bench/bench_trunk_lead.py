"""How often the 95 % interval of trunk lead holds the truth, over many draws without a picture:
`python3 -m tests.bench.bench_trunk_lead --write docs/validation.md`.

Hips and shoulders are those of the renderer's truth, clicked on every 12th frame, 1.5 px off (normal);
between two clicks a point is off as a straight line between both is, and says so. What is off all through a
film is drawn as in the bench of posture.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from analysis.body.launch_measures import trunk_lead
from analysis.body.placing import body_places
from analysis.body.posture_measures import Measured
from analysis.ground.carried import estimate
from analysis.ground.ground import read_ground
from analysis.ground.point_rows import PointRows
from analysis.reading.body import rest_of
from analysis.values.estimate import NoValue
from sample_clips.film import Film
from sample_clips.truth import truth_of
from tests.analysis.reading.runs import evidence_of
from tests.bench.coverage_truth import CLICK_PX
from tests.bench.followed_clips import Clip, filmed
from tests.bench.pages import write_sections
from tests.bench.posture_truth import (
    EVERY,
    ROUNDS,
    Floats,
    marks_off,
    sample_runs,
    shifts,
)

JOINTS = ("left_hip", "right_hip", "left_shoulder", "right_shoulder")
BLEND_MEMORY = 0.75
"""Over how many gaps between clicks the error of a straight line between them lasts: its correlation at lags
of d gaps adds up to 1.5, both ways taken together (a triangle with itself), that of exp(-d / m) to 2 m."""
SCALES = (100.0, 160.0)


@dataclass(frozen=True)
class Lead:
    """A trunk lead as read, less its truth, deg; its standard uncertainty; whether its interval held."""

    off: float
    u: float
    held: bool


def drawn_runs(seeds: range) -> Iterator[Clip]:
    """The truth of drawn runs at both scales; nothing is rendered."""
    for seed in seeds:
        for px_per_m in SCALES:
            scenario = filmed(seed, px_per_m)
            with np.errstate(divide="ignore"):  # marks beyond the film's end are never passed
                yield Clip(Path(f"{scenario.name}.mp4"), truth_of(Film(scenario)), px_per_m)


def _blended(frames: int, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """What clicks on every 12th frame leave points off by, px, (n, 4, 2), and its deviation, (n,)."""
    clicks = rng.normal(0.0, CLICK_PX, (frames // EVERY + 2, len(JOINTS), 2))
    before, step = np.divmod(np.arange(frames), EVERY)
    share = step / EVERY
    off = (1 - share)[:, None, None] * clicks[before] + share[:, None, None] * clicks[before + 1]
    return off, CLICK_PX * np.hypot(1 - share, share)


def leads(clip: Clip, what: str, draws: int, seed: int) -> Iterator[Lead]:
    """Trunk lead of a run, drawn anew so many times; ``what``: what is off, of ROUNDS."""
    rng = np.random.default_rng([seed, ROUNDS.index(what)])
    truth = clip.truth.numbers["start"]["trunk_lead_deg"]
    evidence = evidence_of(clip.truth.sheet)
    run, film = evidence.run, evidence.film
    until = run.start.front_toe_off
    assert until is not None
    frames = np.arange(until + 1)
    columns = [clip.names.index(name) for name in JOINTS]
    for _ in range(draws):
        off, u = _blended(len(frames), rng)
        uv = (clip.pixels + shifts(clip, rng, what))[frames][:, columns] + off
        seen = np.zeros(len(frames), bool)
        rows = {name: PointRows(frames, uv[:, i], u, seen) for i, name in enumerate(JOINTS)}
        marked = replace(run, marks=marks_off(run.marks, rng, what))
        ground = read_ground(marked, film.width, film.height)
        body = body_places(ground, run.direction, rows, film.times.seconds, BLEND_MEMORY * EVERY)
        rest = rest_of(body, 0, run.start)
        assert not isinstance(rest, NoValue)
        found = trunk_lead(body, rest.frames, until)
        assert isinstance(found, Measured), found
        shown = estimate(found.value)
        yield Lead(shown.value - truth, shown.u, shown.low <= truth <= shown.high)


def share_held(found: Sequence[Lead]) -> float:
    """Share of the intervals that held."""
    return float(np.mean([lead.held for lead in found]))


def main() -> None:
    """Draw, read, print the table, with ``--write PAGE`` into the page."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seeds", type=int, nargs=2, default=(301, 320))
    asked.add_argument("--draws", type=int, default=15, help="of each run")
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    first, last = wishes.seeds
    runs = [*sample_runs(), *drawn_runs(range(first, last + 1))]
    lines = ["| trunk lead, deg | n | RMS | stated | held |", "|---|---|---|---|---|"]
    for what in ROUNDS:
        found = [lead for n, clip in enumerate(runs) for lead in leads(clip, what, wishes.draws, n)]
        off, u = (np.array([getattr(lead, part) for lead in found]) for part in ("off", "u"))
        rms, stated = (float(np.sqrt(np.mean(values**2))) for values in (off, u))
        lines.append(f"| {what} | {len(found)} | {rms:.2f} | {stated:.2f} | {100 * share_held(found):.1f} |")
    text = "\n".join(lines) + "\n"
    print(text)
    if wishes.write:
        write_sections(wishes.write, {"lead": text})


if __name__ == "__main__":
    main()
