"""Small drawings for a page, as places on a sheet: speed over the way, contact and flight, days."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from analysis.report.words import figure, side_letter
from analysis.values.estimate import Estimate, Result
from analysis.values.reading import Reading, SpeedBand, StepReading
from analysis.values.words import tr

WIDTH, HEIGHT = 640, 260
LEFT, RIGHT, TOP, BOTTOM = 62, 12, 28, 46
"""Room round the drawing for its axes."""
ABOVE, BELOW, HALF = 14, 19, 6
"""Where words stand: down to what the upper axis holds, below the ground, below the middle of a tick."""
_BAR = 0.34  # of a step's share of the width

Point = tuple[float, float]


@dataclass(frozen=True)
class Tick:
    """A place on an axis, on the sheet, with its words."""

    at: float
    words: str


@dataclass(frozen=True)
class Whisker:
    """A number with its 95 % interval, on the sheet."""

    x: float
    y: float
    low: float
    high: float


@dataclass(frozen=True)
class Bar:
    """A bar from the ground of the drawing up to ``y``; ``kind``: contact or flight."""

    kind: str
    x: float
    y: float
    width: float
    height: float
    whisker: Whisker


@dataclass(frozen=True)
class Drawing:
    """What stands on a drawing, each part empty where it has none.

    ``name``: what is read out; ``caption``: below it; ``across``, ``up``: what its axes hold. ``curve`` and
    ``band``: a line and the outline of an area. ``marks``: numbers as dots.
    """

    name: str
    caption: str
    across: str
    up: str
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    curve: tuple[Point, ...] = ()
    band: tuple[Point, ...] = ()
    marks: tuple[Whisker, ...] = ()
    bars: tuple[Bar, ...] = ()


@dataclass(frozen=True)
class Scale:
    """From a number to its place on the sheet."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """The place of a number, rounded to what a screen can show."""
        share = (value - self.low) / (self.high - self.low)
        return round(self.start + share * (self.end - self.start), 2)


def speed_drawing(reading: Reading) -> Drawing | None:
    """Step-averaged speed over the way; None where no curve holds."""
    band = reading.speed_band
    if band is None or len(band.x_m) < 2 or band.x_m[-1] <= band.x_m[0]:
        return None
    local = [(s.x_m, s.local_m_s) for s in reading.speeds]
    marks = [(x, n) for x, n in local if isinstance(n, Estimate) and band.x_m[0] <= x <= band.x_m[-1]]
    top = max([*band.high_m_s, *(n.high for _, n in marks)])
    xs = Scale(band.x_m[0], band.x_m[-1], LEFT, WIDTH - RIGHT)
    ys = Scale(0.0, top, HEIGHT - BOTTOM, TOP)
    return Drawing(
        tr("Speed over the way, with its 95 % interval"),
        tr(
            "Step-averaged speed through the whole run with its 95 % band; dots: from the nearby steps alone."
        ),
        tr("m along the line"),
        tr("m/s"),
        ticks(xs),
        ticks(ys),
        _line(xs, ys, zip(band.x_m, band.v_m_s, strict=True)),
        _outline(xs, ys, band),
        tuple(whisker(xs.at(x), ys, n) for x, n in marks),
    )


def rhythm_drawing(reading: Reading) -> Drawing | None:
    """Contact and flight time of each step, in ms; None where there is neither."""
    shown = [(step, kind, n) for step in reading.steps for kind, n in _both(step) if isinstance(n, Estimate)]
    if not shown:
        return None
    ys = Scale(0.0, 1000 * max(n.high for _, _, n in shown), HEIGHT - BOTTOM, TOP)
    share = (WIDTH - LEFT - RIGHT) / len(reading.steps)
    middle = {step.step: LEFT + share * (n + 0.5) for n, step in enumerate(reading.steps)}
    names = tuple(Tick(round(middle[s.step], 2), f"{s.step} {side_letter(s.side)}") for s in reading.steps)
    bars = tuple(_bar(middle[step.step], share * _BAR, kind, n, ys) for step, kind, n in shown)
    return Drawing(
        tr("Contact and flight time by step"),
        tr("Contact (dark, left bar) and flight (light, right bar) of each step, with the 95 % interval."),
        tr("step"),
        tr("ms"),
        names,
        ticks(ys),
        bars=bars,
    )


def _both(step: StepReading) -> tuple[tuple[str, Result], ...]:
    return ("contact", step.contact_s), ("flight", step.flight_s)


def _bar(middle: float, width: float, kind: str, number: Estimate, ys: Scale) -> Bar:
    left = middle - width if kind == "contact" else middle
    top = whisker(round(left + width / 2, 2), ys, number.scaled(1000.0))
    return Bar(kind, round(left, 2), top.y, round(width, 2), round(ys.start - top.y, 2), top)


def whisker(x: float, ys: Scale, number: Estimate) -> Whisker:
    """A number with its interval; the interval ends where the sheet does."""
    return Whisker(x, ys.at(number.value), ys.at(max(number.low, ys.low)), ys.at(number.high))


def _line(xs: Scale, ys: Scale, places: Iterable[Point]) -> tuple[Point, ...]:
    return tuple((xs.at(x), ys.at(y)) for x, y in places)


def _outline(xs: Scale, ys: Scale, band: SpeedBand) -> tuple[Point, ...]:
    """There along the upper end of the interval, back along the lower one."""
    there = list(zip(band.x_m, band.high_m_s, strict=True))
    back = [(x, max(low, 0.0)) for x, low in zip(band.x_m, band.low_m_s, strict=True)]
    return _line(xs, ys, [*there, *reversed(back)])


def ticks(scale: Scale, most: int = 6) -> tuple[Tick, ...]:
    """Round numbers within the scale, no more than ``most``."""
    rough = (scale.high - scale.low) / most
    power = 10.0 ** math.floor(math.log10(rough))
    apart: float = next(power * n for n in (1, 2, 5, 10) if power * n >= rough)
    numbers: Sequence[int] = range(math.ceil(scale.low / apart), math.floor(scale.high / apart) + 1)
    places = max(0, -math.floor(math.log10(apart) + 1e-9))
    return tuple(Tick(scale.at(n * apart), figure(n * apart, places)) for n in numbers)
