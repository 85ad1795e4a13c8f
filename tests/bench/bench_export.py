"""What an annotated film costs beside raw decoding and encoding. `python3 -m tests.bench.bench_export`

The film: 3 s of 1280 x 720 at 240 frames a second, a clip of the demo with everything that is marked on it.
Raw is the same decoder and the same coder with the same settings, on the same frames, with nothing in
between. Both in processor time of this process, one thread each, in turn. `--write PAGE` sets the table into
its section of the page.
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av

from analysis.jobs.annotate import annotate
from analysis.jobs.film_wish import FilmWish
from analysis.report.film_frames import USUAL, Look
from analysis.report.film_order import Pace
from analysis.report.film_writing import CODER
from analysis.store import ProjectFile
from app.demo import demo_project
from tests.bench.pages import write_sections

GOAL = 2.5
RUN = "wing_day2"
PLAYS_HZ = Fraction(60)

PAGE = """An annotated film is written in a process beside the window. Written by
`python3 -m tests.bench.bench_export --write docs/speed.md`: processor time of one process with one thread
each for decoding and coding, the median of {times}; raw and film in turn.

"""

KINDS = {
    "lines, points, path, numbers": FilmWish(Pace(0.25), Look(USUAL)),
    "the same with the step rail": FilmWish(Pace(0.25), Look(USUAL, rail=True)),
    "the same, 480 px high": FilmWish(Pace(0.25), Look(USUAL, rail=True, height=480)),
}


def raw(film: Path, out: Path) -> None:
    """Decode every frame and encode it again."""
    with av.open(str(film)) as source, av.open(str(out), "w", format="mp4") as target:
        decoder = source.streams.video[0]
        decoder.codec_context.thread_count = 1
        stream = target.add_stream("libx264", rate=PLAYS_HZ, options=CODER)
        stream.pix_fmt, stream.width, stream.height = "yuv420p", decoder.width, decoder.height
        stream.codec_context.thread_count = 1
        for number, frame in enumerate(source.decode(decoder)):
            frame.pts, frame.time_base = number, 1 / PLAYS_HZ
            frame.pict_type = 0
            target.mux(stream.encode(frame))
        target.mux(stream.encode(None))


def cost_s(work: Callable[[], object]) -> float:
    """Processor time, s."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def measured(project: Path, folder: Path, times: int) -> list[str]:
    """Rows of the table: raw and each kind in turn, the median of so many."""
    with ProjectFile.open(project) as file:
        run = next(run for run in file.project.runs.values() if run.name == RUN)
        film = file.find_film(run.film_id)
    found: dict[str, list[float]] = {name: [] for name in ("raw", *KINDS)}
    for _ in range(times):
        found["raw"].append(cost_s(lambda: raw(film, folder / "raw.mp4")))
        for name, wish in KINDS.items():
            found[name].append(
                cost_s(lambda wish=wish: annotate(project, RUN, folder / "a.mp4", wish, threads=1))
            )
    base = statistics.median(found["raw"])
    rows = [f"| decoding and encoding alone (raw) |  | {base:.2f} s |  |"]
    for name in KINDS:
        share = statistics.median(one / by for one, by in zip(found[name], found["raw"], strict=True))
        kept = "✓" if share <= GOAL else "**missed**"
        rows.append(
            f"| {name} | {GOAL:g} times | {statistics.median(found[name]):.2f} s | {share:.2f} times {kept} |"
        )
    return rows


def main() -> None:
    """Measure, print, and write the section where asked to."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--write", type=Path)
    asked.add_argument("--times", type=int, default=3)
    wishes = asked.parse_args()
    with tempfile.TemporaryDirectory() as made:
        rows = measured(demo_project(Path(made)), Path(made), wishes.times)
    head = [
        "| 3 s of 1280 x 720 at 240, as a film at 60 | goal | processor time | of raw |",
        "|---|---|---|---|",
    ]
    table = "\n".join([*head, *rows]) + "\n"
    print("\n" + table)
    if wishes.write:
        words = PAGE.format(times=wishes.times)
        write_sections(wishes.write, {"export": words + table})


if __name__ == "__main__":
    main()
