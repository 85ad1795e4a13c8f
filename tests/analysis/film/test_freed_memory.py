"""Page faults are counted by the system itself (``getrusage``), in a process of its own."""

import platform
import subprocess
import sys

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
