"""Who waits for a processor: nice values of threads as Linux keeps them (proc(5), stat, field 19)."""

import os
import sys
from pathlib import Path

import pytest

from analysis.film import open_film
from app.film.reader_thread import ReaderThread
from tests.analysis.film.making import GOP, Kind, make

pytestmark = pytest.mark.skipif(
    sys.platform != "linux", reason="elsewhere threads have no priorities of their own"
)


def nice_values():
    found = {}
    for task in Path("/proc/self/task").iterdir():
        name, rest = (task / "stat").read_text().split("(", 1)[1].rsplit(")", 1)
        found[name, int(task.name)] = int(rest.split()[16])
    return found


def test_decoders_wait_for_the_reader_and_the_reader_for_the_window(qtbot, tmp_path):
    film = open_film(make(tmp_path / "film.mp4", Kind(options=GOP)))
    before = nice_values()
    thread = ReaderThread(film)
    with qtbot.waitSignal(thread.ready):
        thread.request(30)
    window = os.getpriority(os.PRIO_PROCESS, 0)

    def given_way():
        new = {key: nice for key, nice in nice_values().items() if key not in before}
        decoders = {nice for (name, _), nice in new.items() if name.startswith("av:")}
        others = {nice for (name, _), nice in new.items() if not name.startswith("av:")}
        return decoders == {min(19, window + 15)} and min(19, window + 2) in others

    qtbot.waitUntil(given_way)
    thread.shutdown()
