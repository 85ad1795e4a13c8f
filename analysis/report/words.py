"""Numbers and sides in words for people; the digits follow the uncertainty."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median_low

from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.measures import unit_of
from analysis.values.run import LineKind, Side
from analysis.values.words import signed, tr

MISSING = "–"
"""What stands where there is no number; the reason is in the tooltip and in the accessible text."""


@dataclass(frozen=True)
class Unit:
    """How a measure is shown: ``factor`` from the reading's unit, ``most`` decimals at most."""

    symbol: str
    factor: float = 1.0
    most: int = 2


MILLISECONDS = Unit("ms", 1000.0, 1)
SECONDS = Unit("s", 1.0, 3)
METRES = Unit("m", 1.0, 3)
METRES_PER_SECOND = Unit("m/s", 1.0, 2)
DEGREES = Unit("°", 1.0, 1)
DEGREES_PER_SECOND = Unit("°/s", 1.0, 0)
METRES_PER_SECOND_SQUARED = Unit("m/s²", 1.0, 2)
PERCENT = Unit("%", 1.0, 1)
HERTZ = Unit("Hz", 1.0, 2)
RATIO = Unit("", 1.0, 2)

_SHOWN = {
    "s": MILLISECONDS,
    "m": METRES,
    "m/s": METRES_PER_SECOND,
    "deg": DEGREES,
    "deg/s": DEGREES_PER_SECOND,
    "m/s²": METRES_PER_SECOND_SQUARED,
    "%": PERCENT,
}


def unit_shown(measure: str) -> Unit:
    """How a measure is shown, by the unit that its name ends with; splits and gate times in seconds."""
    if measure.startswith(("split", "gate_time")):
        return SECONDS
    return HERTZ if measure.endswith("_hz") else _SHOWN.get(unit_of(measure), RATIO)


def digits(result: Result, unit: Unit) -> int:
    """Decimals that the uncertainty allows: its first figure, and a second one where the first is 1."""
    if isinstance(result, NoValue):
        return 0
    half = result.half_width * unit.factor
    if not math.isfinite(half) or half <= 0:
        return unit.most
    exponent = math.floor(math.log10(half))
    leading = half / 10.0**exponent
    return min(max((1 if leading < 1.95 else 0) - exponent, 0), unit.most)


def common_digits(results: Iterable[Result], unit: Unit) -> int:
    """One number of decimals for a column, so that its figures stand under each other."""
    each = [digits(result, unit) for result in results if isinstance(result, Estimate)]
    return median_low(each) if each else 0


def value_text(result: Result, unit: Unit, decimals: int | None = None) -> str:
    """The value alone, or a dash."""
    if isinstance(result, NoValue):
        return MISSING
    places = digits(result, unit) if decimals is None else decimals
    return figure(result.value * unit.factor, places)


def error_text(result: Result, unit: Unit, decimals: int | None = None) -> str:
    """Half the 95 % interval with its sign, or nothing."""
    if isinstance(result, NoValue):
        return ""
    places = digits(result, unit) if decimals is None else decimals
    half = result.half_width * unit.factor
    if half <= 0:
        return ""
    # an uncertainty is never shown as zero
    return "± " + figure(max(half, 10.0**-places), places)


def number_text(result: Result, unit: Unit, decimals: int | None = None, *, with_unit: bool = True) -> str:
    """Value, uncertainty and unit, such as "163 ± 9 ms", or a dash."""
    if isinstance(result, NoValue):
        return MISSING
    parts = [value_text(result, unit, decimals), error_text(result, unit, decimals)]
    if with_unit:
        parts.append(unit.symbol)
    return " ".join(part for part in parts if part).replace(" °", "°")


def headed(name: str, unit: Unit) -> str:
    """A name with its unit, such as "Contact, ms"."""
    return f"{name}, {unit.symbol}" if unit.symbol else name


def explanation(result: Result, unit: Unit) -> str:
    """What a tooltip says: the 95 % interval, or why there is no number."""
    if isinstance(result, NoValue):
        return result.reason
    places = digits(result, unit)
    low, high = (figure(end * unit.factor, places) for end in (result.low, result.high))
    return tr("95 % interval {low} to {high} {unit}").format(low=low, high=high, unit=unit.symbol).strip()


def spoken(name: str, result: Result, unit: Unit) -> str:
    """What is read out: name, number, interval or reason."""
    if isinstance(result, NoValue):
        return tr("{name}: no number. {reason}").format(name=name, reason=result.reason)
    return f"{name} {number_text(result, unit)}, {explanation(result, unit)}"


def seconds_text(time_s: float, decimals: int = 3) -> str:
    """A moment, such as "0.347 s"."""
    return f"{figure(time_s, decimals)} s"


def side_word(side: Side | None) -> str:
    """Left, right, or nothing."""
    return {Side.LEFT: tr("left"), Side.RIGHT: tr("right"), None: ""}[side]


def side_letter(side: Side) -> str:
    """L or R: a side is never told by its colour alone."""
    return tr("L") if side is Side.LEFT else tr("R")


def line_word(kind: LineKind) -> str:
    """What a drawn line is called."""
    return {
        LineKind.TRUNK: tr("Trunk"),
        LineKind.SHIN: tr("Shin"),
        LineKind.THIGH: tr("Thigh"),
        LineKind.FREE: tr("Free line"),
    }[kind]


def figure(number: float, places: int) -> str:
    """A bare number with a true minus sign, never minus zero."""
    return signed(number, f".{places}f")
