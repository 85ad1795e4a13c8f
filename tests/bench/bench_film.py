"""How quick the film is, beside raw decoding in the same run. `python3 -m tests.bench.bench_film`

Makes its own films, 1920x1080 at 240 a second with a key frame every 60. `--write PAGE` writes the page,
`--films FOLDER` keeps the films for the next run, `--seconds N` makes them shorter, `--part NAME` measures
one part only.
"""

import argparse
import os
import platform
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import av

from app.application import make_app
from app.start import program_set_aside
from tests.bench import lasting, playing, reading, whole, window
from tests.bench.clips import RATE_HZ, write_clip
from tests.bench.rows import Row, as_table

CODECS = {"H.264": "libx264", "HEVC": "libx265"}
PARTS = ("reading", "playing", "window", "whole", "two", "lasting", "hurt")

KEPT = "## Writing an annotated film"
"""Where the sections of other benches begin on the page."""

PAGE = """# How quick the film is

Written by `python3 -m tests.bench.bench_film --write docs/speed.md`. Films: 1920 x 1080, 240 frames a
second, {seconds:g} s, a key frame every 60 frames, made by the bench. Machine: {machine}. Load of the machine
(processes that want to run) {load}; a load above the number of cores means that others had
their share of it, and every figure is the longer for it: look at the ratios.
{quiet} It took {minutes:.0f} minutes.

Milliseconds are median / p95 / p99. *Raw* is the least that the same thing costs, measured beside it in the
same run, and "times" is the ratio of both medians: for a cold step and a jump in full size the decoder alone
on the same stretch (seek to the key frame, decode, keep nothing, convert nothing); for a frame nearby the
conversion of a picture; for a step and a jump in small size converting and painting a picture that is decoded
(in the whole window: painting picture, rail and chart once more); for opening PyAV alone (open, list the
packets, open again, decode and convert the first picture); for playing the frames that are decoded in turn in
a second, against those that the speed asks for; for memory the pictures that are kept. "With a processor at
hand" leaves out the time in which the window was ready to run and no processor was free.

A cold step and a jump meet their goal when the median does; first frames, small pictures and pauses when p95
does; near frames and steps when p99 does.
Windows are drawn by Qt's offscreen platform, where a processor does all the painting, into memory. The rows
from "any frame already seen nearby" to "memory kept", those of 4K and of 20 minutes and that of damaged films
are of the reader of frames, without a window.
"Picture alone" is the picture smoothly scaled into 1280 x 720; "the whole window" is the main window, 1440 x
900, with a run marked on the film: its picture, the rail and the rhythm chart with their playheads. After a
scrub the last frame has to be there within the time of two: the one in hand when the strip stops, and it.

While the film plays, a tick of the clock, every 16 ms, is kept when the frame due at its time is on show
after that tick's own painting; a tick that should have come and did not is missed. Beside it stands the
share of frames that were on show before the next tick came. Two films faster than quarter speed are played in
small pictures; their full size comes with the pause.

{table}

Where a damaged head asks for a huge picture, the C library keeps what the decoders' threads let go: the
process stands higher from then on, while what is in use (`mallinfo2`) stays.
"""


def with_kept(page: str, before: str) -> str:
    """The page with what other benches wrote into it."""
    begin = before.find(KEPT)
    return page if begin < 0 else f"{page}\n{before[begin:]}"


def machine() -> str:
    """The machine in general words."""
    kind = platform.machine()
    facts = Path("/proc/cpuinfo")
    if facts.exists():
        kind = next(
            (line.split(":")[1].strip() for line in facts.read_text().splitlines() if "model name" in line),
            kind,
        )
    return f"{os.cpu_count()} cores, {kind}, {platform.system()}, PyAV {av.__version__}"


def loaded() -> str:
    """How many processes want to run."""
    return f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "not known"


def quiet() -> str:
    """Whether other work had to wait for the bench (Linux groups processes by their session)."""
    group = Path("/proc/self/autogroup")
    if group.exists() and group.read_text().split()[-1].startswith("-"):
        return "The bench ran in a scheduling group of its own, of higher priority than work has as a rule."
    return "The bench shared the processors with whatever else wanted to run."


def main() -> None:
    """Measure, print, and write the page where asked to."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--write", type=Path)
    asked.add_argument("--films", type=Path)
    asked.add_argument("--seconds", type=float, default=10.0)
    asked.add_argument("--part", choices=PARTS, action="append")
    wishes = asked.parse_args()
    before_s, load = time.monotonic(), loaded()
    with tempfile.TemporaryDirectory() as made:
        folder = wishes.films or Path(made)
        folder.mkdir(parents=True, exist_ok=True)
        rows = measured(folder, wishes.seconds, wishes.part or PARTS)
    table = as_table(rows, list(CODECS))
    print("\n" + table)
    if wishes.write:
        before = wishes.write.read_text(encoding="utf-8") if wishes.write.exists() else ""
        page = PAGE.format(
            seconds=wishes.seconds,
            machine=machine(),
            load=f"{load} at the beginning, {loaded()} at the end",
            quiet=quiet(),
            minutes=(time.monotonic() - before_s) / 60,
            table=table,
        )
        wishes.write.write_text(with_kept(page, before), encoding="utf-8")


def measured(folder: Path, seconds: float, parts: tuple[str, ...] | list[str]) -> list[Row]:
    """All rows of the parts asked for, in a process that holds memory and seeks garbage as the program."""
    _ = make_app()
    with program_set_aside():
        return _measured(folder, seconds, parts)


def _measured(folder: Path, seconds: float, parts: tuple[str, ...] | list[str]) -> list[Row]:
    reads, plays, lasts = reading.reading_rows(), playing.playing_rows(), lasting.lasting_rows()
    steps, wholes = window.window_rows(), whole.whole_rows()
    frames = round(seconds * RATE_HZ)
    clips = {
        name: write_clip(folder / f"{codec}_{frames}.mp4", codec, frames) for name, codec in CODECS.items()
    }
    for name, codec in CODECS.items():
        clip = clips[name]
        if "reading" in parts:
            reading.measure(name, clip, reads)
        if "playing" in parts:
            playing.measure(name, clip, plays)
        if "window" in parts:
            window.measure(name, clip, steps)
        if "whole" in parts:
            whole.measure(name, clip, wholes)
        if "two" in parts:
            playing.measure_two(name, clip, plays)
        if "lasting" in parts:
            lasting.measure_two(name, lasting.large_clip(folder, codec), lasts["4K"])
            lasting.measure_two(name, clip, lasts["two"])
            if name == "H.264":
                lasting.measure_turn(name, list(clips.values()), lasts)
                lasting.measure_long(name, lasting.long_clip(folder, codec), lasts)
    if "hurt" in parts:
        lasting.measure_damage("H.264", lasts)
    tables = reads, plays, steps, wholes, lasts
    return [row for table in tables for row in table.values() if row.cells]


if __name__ == "__main__":
    main()
