"""Rows of the table of speed, and the page made of them."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np


@dataclass
class Row:
    """``what`` is measured, its ``goal``, and what each film gave (text, whether the goal is met or None)."""

    what: str
    goal: str
    cells: dict[str, tuple[str, bool | None]] = field(default_factory=dict)

    def put(self, film: str, text: str, met: bool | None = None) -> None:
        """What a film gave; said at once."""
        self.cells[film] = (text, met)
        print(
            f"{film:8} {self.what:58} {text}{'' if met is None else '' if met else '   MISSED'}", flush=True
        )


def timed(act: Callable[[], object]) -> float:
    """Milliseconds that one call takes."""
    begun = time.perf_counter()
    act()
    return (time.perf_counter() - begun) * 1000


class Stopwatch:
    """Milliseconds since it was made: all of them, and without those in which this thread was ready to run
    and no processor was free for it (Linux; else the same).
    """

    def __init__(self) -> None:
        self._begun, self._waited = time.perf_counter(), _waited_s()

    @property
    def all_ms(self) -> float:
        """How long it took."""
        return (time.perf_counter() - self._begun) * 1000

    @property
    def own_ms(self) -> float:
        """How long it would have taken with a processor at hand."""
        return self.all_ms - (_waited_s() - self._waited) * 1000


def _waited_s() -> float:
    """How long this thread has waited for a processor so far."""
    try:
        return int(Path("/proc/thread-self/schedstat").read_text().split()[1]) / 1e9
    except (OSError, IndexError):
        return 0.0


def spread(took_ms: Sequence[float]) -> str:
    """Median, p95 and p99 of milliseconds."""
    middle, p95, p99 = np.percentile(np.asarray(took_ms), [50, 95, 99])
    return f"{middle:.1f} / {p95:.1f} / {p99:.1f} ms"


def times_raw(took_ms: Sequence[float], raw_ms: Sequence[float]) -> str:
    """The raw cost beside a figure, and the ratio of both medians."""
    raw = percentile(raw_ms, 50)
    return f"raw {raw:.1f} ms, {percentile(took_ms, 50) / raw:.2f} times"


def percentile(took_ms: Sequence[float], share: float) -> float:
    """A percentile of milliseconds."""
    return float(np.percentile(np.asarray(took_ms), share))


def as_table(rows: Sequence[Row], films: Sequence[str]) -> str:
    """The rows as a table of the page."""
    lines = ["| | goal | " + " | ".join(films) + " |", "|---|---|" + "---|" * len(films)]
    for row in rows:
        cells = []
        for film in films:
            text, met = row.cells.get(film, ("", None))
            cells.append(text + ("" if met is None else " ✓" if met else " **missed**"))
        lines.append(f"| {row.what} | {row.goal} | " + " | ".join(cells) + " |")
    return "\n".join(lines)
