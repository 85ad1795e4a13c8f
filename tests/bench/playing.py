"""Playing, stepping and jumping through the reader's thread and onto a widget, as the window does it."""

from __future__ import annotations

import random
import time
from pathlib import Path

import numpy as np
from PySide6.QtCore import QCoreApplication, QEventLoop, QTimer

from analysis.film import FrameReader, open_film
from analysis.film.picture import PictureMaker
from analysis.film.reader import BUDGET_BYTES
from analysis.values.film import Film
from app.film.clock import Clock
from app.film.drops import DropCount
from app.film.pane import FULL_SIZE_SPEED
from app.film.reader_thread import FrameFailed, FrameReady, ReaderThread, image_of
from app.film.ticker import TICK_MS, Ticker
from app.film.view import FrameView
from tests.bench.clips import RATE_HZ
from tests.bench.reading import raw_opening, raw_rate
from tests.bench.rows import Row, Stopwatch, percentile, spread, times_raw

SPEEDS = {1.0: "full", 0.5: "half", 0.25: "quarter", 0.1: "tenth"}
WAYS = {1: "forwards", -1: "backwards"}
PLAY_S = 4.0
CENTRES = {1.0: 0.5, 0.5: 0.15, 0.25: 0.8, 0.1: 0.95}
"""Where in a film it is played at each speed: not where it was just decoded for another."""
KEPT = 0.99
VIEW = (1280, 720)


def playing_rows() -> dict[str, Row]:
    """The rows that this file fills."""
    rows = {
        "ping": Row("asking a thread that does nothing, answer on the window's thread (raw)", ""),
        "tick": Row("an empty window: ticks that come, of those that should (raw)", ""),
        "first": Row("first frame on screen after opening", "300 ms"),
        "step": Row("step forwards or back 0.3 s after a jump, painted (picture alone)", "p99 16 ms"),
        "small": Row("jump anywhere, a picture of that very frame", "p95 33 ms"),
    }
    for direction, way in WAYS.items():
        for speed, word in SPEEDS.items():
            rows[f"{speed} {direction}"] = Row(
                f"playing {way}, {word} speed: ticks with the frame due",
                goal(speed, direction),
            )
    rows["two quarter"] = Row(
        "two films locked, quarter speed: ticks with both frames due", "99 %, full size"
    )
    rows["two full"] = Row("two films locked, full speed: the same", "99 %, small is fine")
    rows["pause"] = Row("full size after pausing at full speed, two films", "250 ms")
    return rows


def goal(speed: float, direction: int) -> str:
    """What is asked of playing in words."""
    return "99 %" if is_promised("HEVC", speed, direction) else "99 % (HEVC: measured)"


def is_promised(name: str, speed: float, direction: int) -> bool:
    """Whether a goal is set for a codec: HEVC backwards at full speed is measured only."""
    return name != "HEVC" or direction > 0 or speed < 1.0


class Screen:
    """A film, its thread and the widget it is painted on."""

    def __init__(self, film: Film, smalls: bool = True, share: int = 1) -> None:
        self.film = film
        self.view = FrameView()
        self.view.resize(*VIEW)
        self.view.set_film_size(*film.shown_size)
        self.view.show()
        self.thread = ReaderThread(film)
        self.thread.limit(BUDGET_BYTES // share)
        self.thread.ready.connect(self._came)
        self.thread.failed.connect(self._failed)
        self.drops = DropCount()
        self.wanted = -1
        self.shown: tuple[int, bool] = (-1, False)
        self.smalls = 0
        self.kept = 0  # ticks after which the frame due was on show
        self._make, self._decoded = PictureMaker(film), None  # to paint one alone
        if smalls:
            self.thread.cover(0, film.frames - 1)

    def _came(self, ready: FrameReady) -> None:
        self.view.set_picture(ready.image)
        self.view.repaint()
        self.shown = (ready.number, ready.small)
        self.smalls += ready.small
        self.drops.shown(ready.number)

    def _failed(self, failed: FrameFailed) -> None:
        raise RuntimeError(failed.sentence)

    def want(self, number: int, *, light: bool) -> None:
        """Ask for a frame if another was asked for last."""
        if number != self.wanted:
            self.wanted = number
            self.thread.request(number, in_passing=True, light=light)

    def show(self, number: int, small: bool = False) -> float:
        """Ask for a frame; milliseconds until it is painted (small, where that will do)."""
        begun = time.perf_counter()
        self.wanted = number
        self.shown = (-1, False)
        self.thread.request(number)
        while self.shown[0] != number or (self.shown[1] and not small):
            turn()
        return (time.perf_counter() - begun) * 1000

    def alone(self) -> float:
        """Milliseconds to convert and paint a picture that is decoded, nothing asked of the thread."""
        if self._decoded is None:
            with FrameReader(self.film, 1) as reader:
                self._decoded = reader.decoded(0)
        frame, begun = self._decoded, time.perf_counter()
        self.view.set_picture(image_of(self._make.full(frame)))
        self.view.repaint()
        return (time.perf_counter() - begun) * 1000

    def close(self) -> None:
        """Put everything away."""
        self.thread.shutdown()
        self.view.close()
        self.view.deleteLater()
        rest(0)


def turn() -> None:
    """Wait for something to happen and let the window's loop see to it, as the window itself waits."""
    QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)


def rest(seconds: float) -> None:
    """Let the window's loop turn for a while."""
    loop = QEventLoop()
    QTimer.singleShot(round(seconds * 1000), loop.quit)
    loop.exec()


def make_smalls(screens: list[Screen]) -> None:
    """Wait until the small pictures are made."""
    for screen in screens:
        screen.show(0)
    while not all(screen.thread.settled for screen in screens):
        rest(0.2)


def play(screens: list[Screen], speed: float, direction: int, seconds: float = PLAY_S) -> float:
    """Play all under one clock; share of ticks after whose paint every film shows the frame due.

    Ticks that should have come in the time and did not are counted as missed.
    """
    times = screens[0].film.facts.times
    last_s = float(times.seconds[-1])
    need = seconds * speed
    middle = CENTRES[speed] if direction > 0 else 1 - CENTRES[speed]
    begin = min(max(0.0, middle * last_s - direction * min(need, last_s * 0.9) / 2), last_s)
    frame = times.last_at_or_before(begin)
    for screen in screens:
        screen.show(frame)
    rest(0.3)
    clock = Clock(0.0, last_s)
    ticker = Ticker(clock)
    ticker.set_speed(speed)

    came = 0
    light = len(screens) > 1 and speed > FULL_SIZE_SPEED  # as panes do that share a clock

    def moved(time_s: float) -> None:
        nonlocal came
        came += 1
        for screen in screens:
            due = screen.film.facts.times.last_at_or_before(time_s)
            screen.drops.due(due)
            screen.want(due, light=light)
            screen.kept += screen.shown[0] == due

    ticker.seek(begin)
    for screen in screens:
        screen.drops.begin()
        screen.smalls = screen.kept = 0
    ticker.moved.connect(moved)
    begun = time.perf_counter()
    ticker.play(direction)
    rest(seconds)
    lasted = time.perf_counter() - begun
    ticker.shutdown()
    ticker.deleteLater()
    ticks = max(came, int(lasted * 1000 / TICK_MS) - 1)
    return min(1.0, min(screen.kept for screen in screens) / ticks)


def against_need(rate: float, speed: float, films: int = 1) -> str:
    """What raw decoding gives, ``rate`` frames a second, as a multiple of what playing needs."""
    return f"raw decoding {rate / (RATE_HZ * speed * films):.1f} times what is needed"


def shares(screens: list[Screen], share: float) -> str:
    """The share kept; beside it that of frames which came before the next tick, and of full pictures."""
    later = min(screen.drops.kept_share for screen in screens)
    full = min(map(_full_share, screens))
    return f"{share:.1%} ({later:.1%} before the next tick), {full:.0%} full size"


def measure(name: str, path: Path, rows: dict[str, Row]) -> None:
    """Fill the rows for one film."""
    _raw(name, rows)
    _first(name, path, rows["first"])
    screen = Screen(open_film(path), smalls=False)
    _steps(name, screen, rows["step"])
    screen.close()
    screen = Screen(open_film(path))
    make_smalls([screen])
    _small_jumps(name, screen, rows["small"])
    rate = raw_rate(screen.film)
    for direction in (1, -1):
        for speed in SPEEDS:
            row = rows[f"{speed} {direction}"]
            share = play([screen], speed, direction)
            promised = is_promised(name, speed, direction)
            met = share >= KEPT if promised else None
            row.put(name, f"{shares([screen], share)}; {against_need(rate, speed)}", met)
    screen.close()


def measure_two(name: str, path: Path, rows: dict[str, Row]) -> None:
    """Fill the rows of two films side by side."""
    screens = [Screen(open_film(path), share=2) for _ in range(2)]
    make_smalls(screens)
    rate = raw_rate(screens[0].film)
    share = play(screens, 0.25, 1)
    full = min(map(_full_share, screens))
    words = f"{shares(screens, share)}; {against_need(rate, 0.25, 2)}"
    rows["two quarter"].put(name, words, share >= KEPT and full >= KEPT)
    share = play(screens, 1.0, 1)
    rows["two full"].put(name, f"{shares(screens, share)}; {against_need(rate, 1.0, 2)}", share >= KEPT)
    took, raw = [], []
    for _ in range(10):
        play(screens, 1.0, 1, 0.7)
        begun = time.perf_counter()
        for screen in screens:  # as the pane does when the clock stands
            if screen.shown != (screen.wanted, False):
                screen.thread.request(screen.wanted)
        while any(s.shown != (s.wanted, False) for s in screens):
            turn()
        took.append((time.perf_counter() - begun) * 1000)
        raw.append(sum(screen.alone() for screen in screens))
    rows["pause"].put(name, f"{spread(took)}; {times_raw(took, raw)}", percentile(took, 95) <= 250)
    for screen in screens:
        screen.close()


def _full_share(screen: Screen) -> float:
    ticks = max(1, screen.drops.ticks)
    return max(0.0, 1 - screen.smalls / ticks)


class _Idle:
    """A reader that has every picture at once: what is left is the way to the thread and back."""

    def __init__(self) -> None:
        self._picture = np.zeros((2, 2, 4), np.uint8)

    def picture(self, number: int) -> np.ndarray:
        return self._picture

    def at_hand(self, number: int, *, light: bool = False) -> None:
        return None

    def travel_to(self, number: int) -> None: ...

    def ready_stretch(self, number: int, ahead: int) -> int:
        return abs(ahead)

    def prepare(self, number: int, ahead: int) -> bool:
        return False

    def cover(self, first: int, last: int) -> None: ...

    def make_small(self) -> bool:
        return False

    def make_near(self, number: int) -> bool:
        return False

    def limit(self, budget_bytes: int) -> None: ...

    def close(self) -> None: ...


def _raw(name: str, rows: dict[str, Row]) -> None:
    """What the machine itself takes for a question to a thread and for a tick, at this moment."""
    thread = ReaderThread(Film.__new__(Film), make_reader=lambda film, stopped: _Idle())
    took = []
    for number in range(200):
        begun = time.perf_counter()
        thread.request(number)
        while thread.busy:
            turn()
        took.append((time.perf_counter() - begun) * 1000)
        rest(0.005)
    thread.shutdown()
    rows["ping"].put(name, spread(took))
    ticker = Ticker(Clock(0.0, 100.0))
    came: list[float] = []
    ticker.moved.connect(came.append)
    begun = time.perf_counter()
    ticker.play(1)
    rest(PLAY_S)
    should = int((time.perf_counter() - begun) * 1000 / TICK_MS) - 1
    ticker.shutdown()
    rows["tick"].put(name, f"{min(1.0, len(came) / should):.1%} of {should}")


def _first(name: str, path: Path, row: Row) -> None:
    took, raw = [], []
    for _ in range(8):
        begun = time.perf_counter()
        screen = Screen(open_film(path), smalls=False)
        screen.show(0)
        took.append((time.perf_counter() - begun) * 1000)
        screen.close()
        raw.append(raw_opening(path))
    row.put(name, f"{spread(took)}; {times_raw(took, raw)}", percentile(took, 95) <= 300)


def _steps(name: str, screen: Screen, row: Row) -> None:
    chance = random.Random(8)
    took, own, raw = [], [], []
    for _ in range(15):
        at = chance.randrange(60, screen.film.frames - 60)
        screen.show(at)
        rest(0.3)
        way = chance.choice((1, -1))
        for _ in range(16):
            at += way
            watch = Stopwatch()
            took.append(screen.show(at))
            own.append(watch.own_ms)
            rest(0.03)
        raw.append(screen.alone())
    words = f"{spread(took)}; with a processor at hand {spread(own)}; {times_raw(took, raw)}"
    row.put(name, words, percentile(took, 99) <= 16)


def _small_jumps(name: str, screen: Screen, row: Row) -> None:
    chance = random.Random(9)
    took, raw = [], []
    for _ in range(100):
        took.append(screen.show(chance.randrange(screen.film.frames), small=True))
        rest(0.05)
        raw.append(screen.alone())
    row.put(name, f"{spread(took)}; {times_raw(took, raw)}", percentile(took, 95) <= 33)
