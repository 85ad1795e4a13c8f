"""How quick the film is, beside raw decoding in the same run. `python3 -m tests.bench.bench_film [FILM]`"""

import random
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import av
import numpy as np

from analysis.film import FrameReader, open_film
from analysis.values.film import Film

CLIP = Path(__file__).parent.parent.parent / "sample_clips" / "wing_day1.mp4"
ROUNDS = 5


def timed(act: Callable[[], object]) -> float:
    """Milliseconds that one call takes."""
    begun = time.perf_counter()
    act()
    return (time.perf_counter() - begun) * 1000


def line(name: str, took_ms: Iterable[float], raw_ms: float | None = None) -> None:
    """Print the median, p95 and p99, and how many times the raw cost the median is."""
    took = np.array(list(took_ms))
    middle, p95, p99 = np.percentile(took, [50, 95, 99])
    ratio = f"{middle / raw_ms:8.2f}" if raw_ms else " " * 8
    print(f"{name:46}{middle:9.2f}{p95:9.2f}{p99:9.2f}{ratio}  n={len(took)}")


def raw_costs(film: Film) -> tuple[float, float]:
    """Milliseconds a frame of decoding the whole film, and of converting one picture."""
    with av.open(film.path) as container:
        begun = time.perf_counter()
        frames = sum(1 for _ in container.decode(video=0))
        decoding = (time.perf_counter() - begun) * 1000 / frames
    with av.open(film.path) as container:
        frame = next(container.decode(video=0))
        converting = min(
            timed(lambda: frame.reformat(format="bgra", threads=1).to_ndarray()) for _ in range(20)
        )
    return decoding, converting


def forwards(film: Film) -> list[float]:
    """Each frame after the other, on a live decoder."""
    with FrameReader(film) as reader:
        return [timed(lambda n=n: reader.picture(n)) for n in range(film.frames)]


def backwards(film: Film) -> tuple[list[float], list[float]]:
    """Steps back: those served from memory, and those that had to decode the stretch before a key frame."""
    warm, cold = [], []
    with FrameReader(film) as reader:
        for number in range(film.frames - 1, -1, -1):
            kept = reader.is_ready(number)
            (warm if kept else cold).append(timed(lambda n=number: reader.picture(n)))
    return warm, cold


def prepared_backwards(film: Film) -> list[float]:
    """Steps back as the coach makes them: what comes next is made ready between the steps."""
    took = []
    with FrameReader(film) as reader:
        for number in range(film.frames - 1, -1, -1):
            took.append(timed(lambda n=number: reader.picture(n)))
            while reader.prepare(number, -90):
                pass
    return took[1:]


def jumps(film: Film) -> tuple[list[float], list[float]]:
    """Cold jumps, and each one's milliseconds for a frame decoded."""
    keys = [number for number, entry in enumerate(film.index) if entry.key]
    chance = random.Random(5)
    took, each = [], []
    for _ in range(60):
        number = chance.randrange(film.frames)
        with FrameReader(film) as reader:
            reader.picture(0)
            took.append(timed(lambda n=number, r=reader: r.picture(n)))
        each.append(took[-1] / (number - max(key for key in keys if key <= number) + 1))
    return took, each


def main() -> None:
    """Print the table."""
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else CLIP
    film = open_film(path)
    keys = sum(entry.key for entry in film.index)
    width, height = film.shown_size
    print(f"{path.name}: {film.frames} frames, {keys} key frames, {width}x{height}, {film.codec}")
    decoding, converting = raw_costs(film)
    print(f"raw: {decoding:.2f} ms to decode a frame, {converting:.2f} ms to convert a picture\n")
    print(f"{'ms':46}{'median':>9}{'p95':>9}{'p99':>9}{'to raw':>8}")
    line("open", [timed(lambda: open_film(path)) for _ in range(ROUNDS * 4)])

    def first_picture() -> None:
        with FrameReader(open_film(path)) as reader:
            reader.picture(0)

    line("open and show the first frame", [timed(first_picture) for _ in range(ROUNDS * 4)])
    line("step forwards", forwards(film), decoding + converting)
    warm, cold = backwards(film)
    line("step back, frame in memory", warm, converting)
    if len(cold) > 1:
        line("step back over a key frame, cold", cold[1:], decoding * film.frames / keys + converting)
    line("step back with work ahead", prepared_backwards(film), converting)
    took, each = jumps(film)
    line("jump, cold", took, decoding * film.frames / keys / 2 + converting)
    line("jump, for each frame decoded", each, decoding)


if __name__ == "__main__":
    main()
