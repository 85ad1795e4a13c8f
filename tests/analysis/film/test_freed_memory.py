"""Page faults are counted by the system itself (``getrusage``), in a process of its own."""

import platform
import subprocess
import sys

import pytest

from tests.analysis.film.making import Kind, make

PICTURES = """
import resource, sys
import numpy as np
from analysis.film.freed_memory import hold_freed_memory
if sys.argv[1] == "held":
    assert hold_freed_memory()
def show():
    for picture in [np.ones(1920 * 1080 * 4, np.uint8) for _ in range(8)]:
        del picture
for _ in range(3):
    show()
before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
for _ in range(5):
    show()
print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
"""


def faults(way: str) -> int:
    done = subprocess.run(
        [sys.executable, "-c", PICTURES, way], capture_output=True, text=True, check=True, timeout=60
    )
    return int(done.stdout)


def test_pictures_use_the_memory_of_those_let_go() -> None:
    if platform.libc_ver()[0] != "glibc":
        from analysis.film.freed_memory import hold_freed_memory

        assert not hold_freed_memory()
        return
    # 40 pictures of 2,025 pages of 4 kB: all new without it, none with it but for chance ones
    assert faults("held") < 2_025 < faults("as the system does it")


CLOSED = """
import gc, sys
from pathlib import Path
from analysis.film import open_film
from analysis.film.freed_memory import give_freed_memory_back, hold_freed_memory
from analysis.film.quick_reader import QuickReader
hold_freed_memory()
gc.disable()  # what is let go must not wait for it

def resident_mb():
    return int(Path("/proc/self/statm").read_text().split()[1]) * 4096 / 1e6

def once():
    reader = QuickReader(open_film(sys.argv[1]))
    reader.cover(0, 40)
    for number in range(60):
        reader.picture(number)
    while reader.make_small():
        pass
    most = resident_mb()
    reader.close()
    return most

once()
give_freed_memory_back()
before = resident_mb()
most = max(once() for _ in range(6))
give_freed_memory_back()
print(before, most, resident_mb())
"""


@pytest.mark.skipif(sys.platform != "linux", reason="memory in use is read from /proc")
def test_a_film_that_is_closed_gives_its_memory_back(tmp_path):
    """60 frames of 1280 x 720 take 83 MB decoded; what the process holds is told by the system itself."""
    film = make(tmp_path / "film.mp4", Kind(options={"g": "30", "preset": "ultrafast"}, size=(1280, 720)))
    done = subprocess.run(
        [sys.executable, "-c", CLOSED, str(film)], capture_output=True, text=True, check=True, timeout=60
    )
    before, most, after = (float(word) for word in done.stdout.split())
    assert most - before > 60
    assert after - before < 8
