"""One measure over an athlete's tests, as a drawing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from analysis.report.page_charts import (
    BOTTOM,
    HEIGHT,
    LEFT,
    RIGHT,
    TOP,
    WIDTH,
    Drawing,
    Point,
    Scale,
    Tick,
    Whisker,
    ticks,
)
from analysis.report.words import figure, unit_shown
from analysis.values.comparison import History
from analysis.values.words import tr

_FEWEST_DAYS = 2
_LEAST_ROOM = 0.01  # of the number: else days that hardly differ look far apart
_BESIDE = 50.0  # the first and the last day, where half of a written date has room
_APART = 130.0  # between two dates written under the axis


def history_drawing(found: History, name: str) -> Drawing | None:
    """Every run as a dot, the days' means as a line, and round the first mean what a change must leave.

    None where fewer than two days have the measure, or where one of them is no date.
    """
    unit = unit_shown(found.key.measure)
    try:
        dates = [date.fromisoformat(day.day).toordinal() for day in found.days]
    except ValueError:
        return None
    if len(dates) < _FEWEST_DAYS:
        return None
    xs = Scale(dates[0], dates[-1], LEFT + _BESIDE, WIDTH - RIGHT - _BESIDE)
    means = [day.mean * unit.factor for day in found.days]
    least = None if found.least_change is None else found.least_change * unit.factor
    ends = [] if least is None else [means[0] - least, means[0] + least]
    values = [*ends, *(value * unit.factor for day in found.days for value in day.values)]
    room = max(0.12 * (max(values) - min(values)), _LEAST_ROOM * abs(values[0])) or 1.0
    ys = Scale(min(values) - room, max(values) + room, HEIGHT - BOTTOM, TOP)
    band: tuple[Point, ...] = ()
    if least is not None:
        low, high = (ys.at(end) for end in ends)
        band = ((LEFT, low), (LEFT, high), (WIDTH - RIGHT, high), (WIDTH - RIGHT, low))
    dots = tuple(
        _dot(xs.at(at), ys.at(value * unit.factor))
        for at, day in zip(dates, found.days, strict=True)
        for value in day.values
    )
    return Drawing(
        tr("{name} over the tests").format(name=name),
        _caption(name, least, unit.symbol, unit.most),
        "",
        unit.symbol,
        _dates(xs, dates),
        ticks(ys),
        tuple((xs.at(at), ys.at(mean)) for at, mean in zip(dates, means, strict=True)),
        band,
        dots,
    )


def _caption(name: str, least: float | None, symbol: str, places: int) -> str:
    if least is None:
        words = tr(
            "{name}: dots are runs, the line goes through the days' means. Too few runs to say what counts."
        )
        return words.format(name=name)
    words = tr(
        "{name}: dots are runs, the line goes through the days' means. Inside the band, {least} {unit} "
        "round the first day, no change of one run can be told (smallest detectable change)."
    )
    return words.format(name=name, least=figure(least, places), unit=symbol)


def _dot(x: float, y: float) -> Whisker:
    return Whisker(x, y, y, y)


def _dates(xs: Scale, dates: Sequence[int]) -> tuple[Tick, ...]:
    """The days under the axis, as many as have room."""
    found: list[Tick] = []
    for at in dates:
        if not found or xs.at(at) - found[-1].at >= _APART:
            found.append(Tick(xs.at(at), date.fromordinal(at).isoformat()))
    return tuple(found)
