"""What jumps and steps take, each beside the raw cost of the same stretch at the same moment."""

from __future__ import annotations

import os
import random
from pathlib import Path

import av
import numpy as np
from av.codec.context import ThreadType

from analysis.film import FrameReader, open_film
from analysis.film.quick_reader import QuickReader
from analysis.values.film import Film
from tests.bench.rows import Row, percentile, spread, timed, times_raw

JUMPS = 15
OVER_MS = 15.0
JUMP_TIMES = 1.15


class Raw:
    """The least that a picture costs: seek to the key frame and decode, nothing kept, nothing converted."""

    def __init__(self, film: Film) -> None:
        self._film = film
        self._container = av.open(film.path)
        self._stream = self._container.streams[film.stream]
        self._stream.codec_context.thread_count = min(4, os.cpu_count() or 1)
        self._stream.codec_context.thread_type = ThreadType.FRAME

    def decode_to(self, number: int) -> None:
        """Decode from the key frame at or before a frame up to it."""
        pts = self._film.index[number].pts
        self._container.seek(pts, stream=self._stream)
        for frame in self._container.decode(self._stream):
            if frame.pts == pts:
                return

    def decode_on_to(self, number: int) -> None:
        """Decode on to a frame further on."""
        pts = self._film.index[number].pts
        next(frame for frame in self._container.decode(self._stream) if frame.pts == pts)

    def close(self) -> None:
        """Give the file back."""
        self._container.close()


def raw_rate(film: Film, frames: int = 480) -> float:
    """Frames a second that are decoded in turn, nothing kept, nothing converted."""
    raw = Raw(film)
    raw.decode_to(0)
    last = min(frames, film.frames) - 1
    took_ms = timed(lambda: raw.decode_on_to(last))
    raw.close()
    return last / took_ms * 1000


def raw_opening(path: Path) -> float:
    """Milliseconds to open a file, list its packets, open it again, decode and convert its first picture."""

    def opened() -> None:
        with av.open(str(path)) as container:
            sum(1 for _ in container.demux(video=0))
        with av.open(str(path)) as container:
            next(container.decode(video=0)).reformat(format="bgra", threads=1)

    return timed(opened)


def reading_rows() -> dict[str, Row]:
    """The rows that this file fills."""
    return {
        "film": Row("the film", ""),
        "list": Row("reading the list of frames (raw)", ""),
        "decode": Row("decoding a frame, all frames in turn (raw)", ""),
        "convert": Row("converting a picture (raw)", ""),
        "near": Row("any frame already seen nearby", "8 ms"),
        "back": Row("cold step back across a key frame", "raw + 15 ms"),
        "jump": Row("jump anywhere, full size", "1.15 raw + 15 ms"),
        "budget": Row("memory kept after a walk through the film", "the set budget"),
    }


def measure(name: str, path: Path, rows: dict[str, Row]) -> None:
    """Fill the rows for one film."""
    film = open_film(path)
    keys = [number for number, entry in enumerate(film.index) if entry.key]
    convert = _raw_costs(name, film, rows)
    _steps_back(name, film, keys, rows["back"])
    _jumps(name, film, rows["jump"])
    _near(name, film, rows["near"], convert)
    _kept(name, film, rows["budget"])


def _raw_costs(name: str, film: Film, rows: dict[str, Row]) -> list[float]:
    """What each is by itself; milliseconds to convert a picture."""

    def listed() -> None:
        with av.open(film.path) as container:
            sum(1 for _ in container.demux(video=0))

    seconds = float(film.facts.times.seconds[-1])
    rows["film"].put(name, f"{Path(film.path).stat().st_size * 8e-6 / seconds:.0f} Mbit a second")
    took = [timed(listed) for _ in range(5)]
    rows["list"].put(name, f"{np.median(took):.0f} ms for {film.frames}")
    with av.open(film.path) as container:
        container.streams.video[0].codec_context.thread_type = ThreadType.FRAME
        frames = container.decode(video=0)
        few = [next(frames) for _ in range(3)]
        each = timed(lambda: sum(1 for _ in frames)) / (film.frames - 3)
    rows["decode"].put(name, f"{each:.2f} ms ({1000 / each:.0f} a second)")
    convert = [timed(lambda: few[0].reformat(format="bgra", threads=1)) for _ in range(40)]
    rows["convert"].put(name, f"{np.median(convert):.2f} ms")
    return convert


def _steps_back(name: str, film: Film, keys: list[int], row: Row) -> None:
    raw = Raw(film)
    ours, theirs = [], []
    memory = 80 * film.stored_width * film.stored_height * 3 // 2  # one stretch and a little more
    chance = random.Random(4)
    with FrameReader(film, memory) as reader:
        for number in range(100):  # from here on the memory is full, as it is after the first seconds of use
            reader.picture(number)
        before = 1
        for _ in range(JUMPS):
            at = chance.choice([place for place in range(1, len(keys)) if abs(place - before) > 1])
            key, before = keys[at], at
            reader.picture(key)
            both = [timed(lambda n=key - 1: raw.decode_to(n))]
            ours.append(timed(lambda n=key - 1: reader.picture(n)))
            both.append(timed(lambda n=key - 1: raw.decode_to(n)))
            theirs.append(float(np.mean(both)))
    raw.close()
    over = np.asarray(ours) - np.asarray(theirs)
    row.put(
        name,
        f"{spread(ours)}; raw {np.median(theirs):.1f} ms, {sum(ours) / sum(theirs):.2f} times, "
        f"{np.median(over):+.1f} ms",
        bool(np.median(over) <= OVER_MS),
    )


def _jumps(name: str, film: Film, row: Row) -> None:
    raw = Raw(film)
    chance = random.Random(5)
    ours, limits, theirs = [], [], []
    with FrameReader(film, 1) as reader:  # a memory of one frame: every jump is a cold one
        reader.picture(0)
        for _ in range(JUMPS * 2):
            number = chance.randrange(film.frames)
            both = [timed(lambda n=number: raw.decode_to(n)) for _ in range(2)]
            ours.append(timed(lambda n=number: reader.picture(n)))
            theirs.append(float(np.mean(both)))
            limits.append(JUMP_TIMES * theirs[-1] + OVER_MS)
    raw.close()
    within = float(np.mean(np.asarray(ours) <= np.asarray(limits)))
    row.put(
        name,
        f"{spread(ours)}; raw {np.median(theirs):.1f} ms, {sum(ours) / sum(theirs):.2f} times; "
        f"{within:.0%} within the goal",
        bool(np.median(np.asarray(ours) - np.asarray(limits)) <= 0),
    )


def _near(name: str, film: Film, row: Row, convert: list[float]) -> None:
    with FrameReader(film) as reader:
        for number in range(100, 160):
            reader.picture(number)
        chance = random.Random(1)
        asked = [chance.randrange(100, 160) for _ in range(300)]
        took = [timed(lambda n=number: reader.picture(n)) for number in asked]
    row.put(name, f"{spread(took)}; {times_raw(took, convert)}", percentile(took, 99) <= 8)


def _kept(name: str, film: Film, row: Row) -> None:
    budget = 300_000_000
    reader = QuickReader(film, budget)
    reader.cover(0, film.frames - 1)
    most = 0
    for number in range(0, film.frames, 2):
        reader.picture(number)
        reader.make_small()
        most = max(most, reader.kept_bytes)
    reader.close()
    row.put(name, f"{most / 1e6:.0f} of {budget / 1e6:.0f} MB", most <= budget)
