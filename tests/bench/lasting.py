"""What does not grow: memory, threads and handles, over many films, large films and damaged ones."""

from __future__ import annotations

import contextlib
import ctypes
import os
import random
import resource
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from pathlib import Path

import av

from analysis.film import FrameReader, open_film
from analysis.film.quick_reader import QuickReader
from analysis.film.reader import BUDGET_BYTES
from analysis.values.errors import FilmError
from tests.analysis.film.making import KINDS, make
from tests.bench.clips import write_clip
from tests.bench.rows import Row

MUTATED = 2000
OPENED = 200
LONGEST_S = 5.0
_KINDS = ("h264 with B-frames", "hevc open groups", "mkv", "mpeg-ts", "avi", "webm", "vfr", "240 a second")


def lasting_rows() -> dict[str, Row]:
    """The rows that this file fills."""
    return {
        "4K": Row("two 4K films at 60, played, stepped, jumped in: what the process grew by", "1500 MB"),
        "two": Row("two 1080p films at 240, played, stepped, jumped in: the same", "1500 MB"),
        "long": Row("a film of 20 minutes, 1080p at 60, walked and jumped in: growth", "1500 MB, no growth"),
        "turn": Row(
            f"{OPENED} films opened and closed in turn in a picture of the window: growth",
            "no memory, threads, handles",
        ),
        "hurt": Row(f"{MUTATED} damaged films: longest, growth", "no crash, 5 s, no growth"),
    }


def resident_mb() -> float:
    """Memory of this process that is in use now, in MB (Linux), else the most that it ever was."""
    status = Path("/proc/self/statm")
    if status.exists():
        return int(status.read_text().split()[1]) * resource.getpagesize() / 1e6
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3


class _MallInfo2(ctypes.Structure):
    """What glibc tells of its memory (mallinfo2(3))."""

    _of_the_system = ("arena", "ordblks", "smblks", "hblks", "hblkhd")
    _of_the_rest = ("usmblks", "fsmblks", "uordblks", "fordblks", "keepcost")
    _fields_ = tuple((name, ctypes.c_size_t) for name in (*_of_the_system, *_of_the_rest))


def in_use_mb() -> float:
    """Memory that was asked of the C library and not given back yet, in MB; not a number elsewhere."""
    try:
        told = ctypes.CDLL("libc.so.6").mallinfo2
    except (OSError, AttributeError):
        return float("nan")
    told.restype = _MallInfo2
    found = told()
    return float(found.uordblks + found.hblkhd) / 1e6


def handles() -> int:
    """Open files of this process."""
    return len(list(Path("/proc/self/fd").iterdir())) if Path("/proc/self/fd").exists() else 0


def threads() -> int:
    """Threads of this process, those of the decoders among them."""
    tasks = Path("/proc/self/task")
    return len(list(tasks.iterdir())) if tasks.exists() else threading.active_count()


def in_a_child(what: str, *arguments: str) -> str:
    """Run one of the checks below in a process of its own; its words, or how it ended."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.lasting", what, *arguments],
        capture_output=True,
        text=True,
        check=False,
        timeout=3600,
    )
    return (
        done.stdout.strip() if done.returncode == 0 else f"ended with {done.returncode}: {done.stderr[-400:]}"
    )


def measure_two(name: str, clip: Path, row: Row) -> None:
    """Fill a row of two films on show, of one file."""
    told = in_a_child("two", str(clip))
    if told.startswith("ended"):
        row.put(name, told, met=False)
        return
    kept, grown = (float(n) for n in told.split())
    words = f"{grown:.0f} MB; pictures alone (raw) {kept:.0f} MB, {grown / kept:.2f} times"
    row.put(name, words, grown <= BUDGET_BYTES / 1e6)


def measure_long(name: str, long: Path, rows: dict[str, Row]) -> None:
    """Fill the row of a long film."""
    told = in_a_child("long", str(long))
    if told.startswith("ended"):
        rows["long"].put(name, told, met=False)
        return
    first, second, kept = (float(n) for n in told.split())
    words = (
        f"{first:.0f} MB; {second:+.0f} MB by the second half; pictures alone (raw) {kept:.0f} MB, "
        f"{first / kept:.2f} times"
    )
    rows["long"].put(name, words, first + second <= BUDGET_BYTES / 1e6 and second < 30)


def measure_turn(name: str, clips: Sequence[Path], rows: dict[str, Row]) -> None:
    """Fill the row of films opened and closed: these and small ones of every kind of the tests."""
    told = in_a_child("turn", *map(str, clips))
    if told.startswith("ended"):
        rows["turn"].put(name, told, met=False)
        return
    grown, more_threads, more_handles, films = (float(n) for n in told.split())
    rows["turn"].put(
        name,
        f"{films:.0f} different ones in turn: {grown:+.1f} MB, {more_threads:+.0f} threads, "
        f"{more_handles:+.0f} handles (last {OPENED - OPENED // 4})",
        grown < 20 and more_threads <= 0 and more_handles <= 0,
    )


def measure_damage(name: str, rows: dict[str, Row], count: int = MUTATED) -> None:
    """Fill the row of damaged films."""
    told = in_a_child("hurt", str(count))
    if told.startswith("ended"):
        rows["hurt"].put(name, told, met=False)
        return
    longest, grown, used, refused, shown = (float(n) for n in told.split())
    rows["hurt"].put(
        name,
        f"{longest * 1000:.0f} ms; {grown:+.1f} MB (second half), in use {used:+.1f} MB; "
        f"{refused:.0f} films refused, {shown:.0f} pictures of the others shown",
        longest <= LONGEST_S and grown < 20,
    )


def _two(path: str) -> None:
    film = open_film(path)
    before, grown, kept = resident_mb(), 0.0, 0
    readers = [QuickReader(film, BUDGET_BYTES // 2) for _ in range(2)]
    for reader in readers:
        reader.cover(0, film.frames - 1)
    chance = random.Random(6)
    jumps = [chance.randrange(film.frames) for _ in range(10)]
    for number in [*range(film.frames), *range(film.frames - 1, -1, -1), *jumps]:
        for reader in readers:
            reader.picture(number)
            reader.make_small()
        kept = max(kept, sum(reader.kept_bytes for reader in readers))
        grown = max(grown, resident_mb() - before)
    print(kept / 1e6, grown)
    for reader in readers:
        reader.close()


def _long(path: str) -> None:
    """Growth until half of the use, what the second half adds, and the most that pictures took, in MB."""
    before = resident_mb()
    film = open_film(path)
    reader = QuickReader(film)
    reader.cover(0, film.frames - 1)
    chance = random.Random(7)
    kept, grown = 0, []
    for _ in range(2):
        for _ in range(30):
            at = chance.randrange(film.frames - 40)
            for number in (*range(at, at + 40), *range(at + 39, at - 1, -1)):
                reader.picture(number)
                reader.make_small()
            kept = max(kept, reader.kept_bytes)
        grown.append(resident_mb() - before)
    print(grown[0], grown[1] - grown[0], kept / 1e6)
    reader.close()


def _turn(*large: str) -> None:
    from app.application import make_app
    from app.film.pane import FilmPane
    from tests.bench.playing import rest, turn

    application = make_app()
    pane = FilmPane()
    pane.resize(1280, 760)
    pane.show()

    def seen(frame: int) -> None:
        pane.go_to(frame)
        while pane.shown != frame or not pane.in_full:
            turn()

    def once(path: Path, number: int) -> None:
        film = open_film(path)
        pane.set_film(film)
        for frame in (0, number % film.frames, max(0, number % film.frames - 1)):
            seen(frame)
        pane.set_film(None)
        rest(0)  # what is put away goes when the window's loop turns

    with tempfile.TemporaryDirectory() as folder:
        films = [Path(path) for path in large]
        films += [make(Path(folder) / f"{n}{kind.suffix}", kind) for n, kind in enumerate(KINDS.values())]
        before = (0.0, 0, 0)
        for number in range(OPENED):
            if number == OPENED // 4:
                before = resident_mb(), threads(), handles()
            once(films[number % len(films)], number)
        grown = resident_mb(), threads(), handles()
    print(*(now - then for now, then in zip(grown, before, strict=True)), len(films))
    pane.shutdown()
    pane.close()
    application.processEvents()


def _hurt(count: int) -> None:
    chance = random.Random(2026)
    longest, refused, shown, half, used = 0.0, 0, 0, 0.0, 0.0
    with tempfile.TemporaryDirectory() as folder:
        films = []
        for name in _KINDS:
            kind = KINDS[name]
            films.append(make(Path(folder) / (name.replace(" ", "_") + kind.suffix), kind))
        for number in range(count):
            if number == count // 2:
                half, used = resident_mb(), in_use_mb()
            whole = films[number % len(films)]
            path = mutated(whole, chance)
            begun = time.perf_counter()
            try:
                film = open_film(path)
                with FrameReader(film, 2_000_000) as reader:
                    for frame in {0, film.frames // 2, film.frames - 1}:
                        with contextlib.suppress(FilmError):
                            reader.picture(frame)
                            shown += 1
            except FilmError:
                refused += 1
            longest = max(longest, time.perf_counter() - begun)
            path.unlink()
    print(longest, resident_mb() - half, in_use_mb() - used, refused, shown)


def mutated(whole: Path, chance: random.Random) -> Path:
    """A copy of a film with bytes changed, moved or cut away."""
    data = bytearray(whole.read_bytes())
    for _ in range(chance.choice([1, 2, 5, 20, 100, 500])):
        data[chance.randrange(len(data))] = chance.randrange(256)
    kind = chance.randrange(4)
    if kind == 0:
        data = data[: chance.randrange(len(data))]
    elif kind == 1:
        begin = chance.randrange(len(data))
        del data[begin : begin + chance.randrange(1, 2000)]
    elif kind == 2:
        begin = chance.randrange(len(data))
        end = min(len(data), begin + chance.randrange(1, 4000))
        data[begin:end] = bytes(end - begin)
    path = whole.with_name("hurt" + whole.suffix)
    path.write_bytes(data)
    return path


def long_clip(folder: Path, codec: str) -> Path:
    """A film of 20 minutes: one of four seconds, its packets again and again."""
    path = folder / f"long_{codec}.mp4"
    if path.exists():
        return path
    piece = write_clip(folder / f"piece_{codec}.mp4", codec, 240, rate_hz=60)
    part = path.with_name("part " + path.name)
    with av.open(str(piece)) as source, av.open(str(part), "w") as made:
        stream = source.streams.video[0]
        packets = [(bytes(p), p.pts, p.dts, p.is_keyframe) for p in source.demux(stream) if p.pts is not None]
        target = made.add_stream_from_template(stream)
        assert stream.time_base is not None
        length = round(4 / stream.time_base)
        for turn in range(300):
            for data, pts, dts, key in packets:
                packet = av.Packet(data)
                packet.stream, packet.time_base, packet.is_keyframe = target, stream.time_base, key
                packet.pts, packet.dts = pts + turn * length, dts + turn * length
                made.mux(packet)
    return part.rename(path)


def large_clip(folder: Path, codec: str) -> Path:
    """A 4K film of two seconds at 60."""
    return write_clip(folder / f"large_{codec}.mp4", codec, 120, (3840, 2160), 60)


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    what, *rest = sys.argv[1:]
    {"two": _two, "long": _long, "turn": _turn, "hurt": lambda n: _hurt(int(n))}[what](*rest)
