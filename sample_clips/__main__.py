"""Renders sample films: `python3 -m sample_clips wing_day1`, `all`, or others with `--seed N --out DIR`."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
MISSING = (
    "Libraries are missing here: run `python3 -m tests` or `python3 -m app` once, "
    "which set up `.venv`, then use `.venv/bin/python -m sample_clips`."
)

try:
    from sample_clips.clicks import write_clicked
    from sample_clips.drills import DRILLS, write_drill
    from sample_clips.encode import write_film
    from sample_clips.film import Film
    from sample_clips.scenario import Scenario
    from sample_clips.scenarios import CAMERAS, SCENARIOS, drawn
    from sample_clips.truth import truth_of, write_truth
except ImportError as missing:
    sys.exit(f"{MISSING} ({missing})")


def render(scenario: Scenario, folder: Path) -> Path:
    """Writes the film and its truth into `folder`; the film's path."""
    folder.mkdir(parents=True, exist_ok=True)
    begun = time.perf_counter()
    film = Film(scenario)
    truth = truth_of(film)
    write_truth(folder, truth)
    if scenario.name in SCENARIOS:
        write_clicked(folder, truth)
    path = folder / f"{scenario.name}.mp4"
    p = scenario.picture
    write_film(path, film.frames(), p.width, p.height, p.fps, p.crf)
    size = path.stat().st_size / 1e6
    print(f"{path.name}: {p.frames} frames, {size:.1f} MB, {time.perf_counter() - begun:.0f} s")
    return path


def main(arguments: list[str] | None = None) -> int:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python3 -m sample_clips", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"{', '.join([*SCENARIOS, *DRILLS])} or all")
    parser.add_argument("--seed", type=int, help="another run, drawn from this number")
    parser.add_argument("--out", type=Path, help="folder to write to (default: this package's)")
    parser.add_argument("--fps", type=float, default=240.0, help="frames per second of a drawn run")
    parser.add_argument("--direction", choices=("left", "right"), default="right", help="of a drawn run")
    parser.add_argument("--camera", choices=tuple(CAMERAS), default="still", help="of a drawn run")
    given = parser.parse_args(arguments)
    names = [*SCENARIOS, *DRILLS] if "all" in given.names else given.names
    drills = [DRILLS[name] for name in names if name in DRILLS]
    names = [name for name in names if name not in DRILLS]
    unknown = [name for name in names if name not in SCENARIOS]
    if unknown or (not names and not drills and given.seed is None):
        parser.error(
            f"name {' or '.join([*SCENARIOS, *DRILLS])}, all, or give --seed N"
            + (f"; no {unknown[0]}" if unknown else "")
        )
    if given.seed is not None and given.out is None:
        parser.error("--seed needs --out DIR")
    for drill in drills:
        path = write_drill(given.out or HERE, drill)
        print(f"{path.name}: {path.stat().st_size / 1e6:.2f} MB")
    for name in names:
        render(SCENARIOS[name], given.out or HERE)
    if given.seed is not None:
        render(drawn(given.seed, given.fps, given.direction, given.camera), given.out)
    return 0


if __name__ == "__main__":
    sys.exit(main())
