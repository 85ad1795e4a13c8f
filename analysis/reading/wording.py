"""What a departure means, in plain words."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

from analysis.reading.series import RISES
from analysis.steps.naming import in_steps
from analysis.values.answers import Course, Judged
from analysis.values.bands import Band
from analysis.values.estimate import Estimate
from analysis.values.measures import unit_of
from analysis.values.posture import Moment
from analysis.values.words import capital, signed, tr

_MOST = 3
"""More steps than this are told from where to where."""
_PLAIN: dict[tuple[str, Moment, bool], str] = {
    ("trunk_lead_deg", Moment.PUSH, True): "The trunk opens before the hips go",
    ("trunk_lead_deg", Moment.PUSH, False): "The trunk drops before the hips go",
    ("hip_share", Moment.PUSH, False): "The trunk turns over hips that stay",
    ("spine_bend_deg", Moment.SET, True): "The back is very round in the set position",
    ("spine_bend_deg", Moment.SET, False): "The back is hollow in the set position",
    ("trunk_opening_deg", Moment.PUSH, True): "The trunk opens far before the front foot leaves",
    ("trunk_opening_deg", Moment.PUSH, False): "The trunk sinks before the front foot leaves",
    ("trunk_deg", Moment.TOE_OFF, True): "The trunk is up early at toe-off",
    ("trunk_deg", Moment.TOE_OFF, False): "The trunk lies very low at toe-off",
    ("trunk_shin_match_deg", Moment.TOE_OFF, True): "The trunk is more upright than the front shin",
    ("trunk_shin_match_deg", Moment.TOE_OFF, False): "The trunk lies lower than the front shin",
    ("knee_gap_m", Moment.TOUCHDOWN, True): "The swing knee is far in front at touchdown",
    (
        "knee_gap_m",
        Moment.TOUCHDOWN,
        False,
    ): "The legs change over late, with the swing knee behind at touchdown",
    ("touchdown_distance_m", Moment.TOUCHDOWN, True): "The foot lands far in front of the body",
    ("touchdown_distance_m", Moment.TOUCHDOWN, False): "The foot lands far behind the body",
    ("shin_deg", Moment.TOUCHDOWN, True): "The shin is too upright at touchdown",
    ("shin_deg", Moment.TOUCHDOWN, False): "The shin lies very low at touchdown",
}
"""What it means that a measure lies above (True) or below its band."""

_RHYTHM: dict[str, tuple[str, str]] = {
    "contact_s": ("Contact time", "contact times"),
    "flight_s": ("Flight time", "flight times"),
    "step_length_m": ("Step length", "step lengths"),
    "step_velocity_m_s": ("Step velocity", "step velocities"),
    "com_rise_m": ("The height of the centre of mass", "heights of the centre of mass"),
}


def plainly(group: Sequence[Judged]) -> str:
    """A sentence on one measure that departs in one direction: its numbers and bands, step by step."""
    first = group[0]
    word = tr("above") if first.beyond > 0 else tr("below")
    begin = meaning(first) or tr("{name} lies {word} its band").format(name=capital(first.name), word=word)
    return tr("{begin}{place}: {name} {numbers}.").format(
        begin=begin, place=on_steps(group), name=first.name, numbers=_numbers_and_bands(group)
    )


def meaning(one: Judged) -> str:
    """What it means that a measure departs, the beginning of a sentence; empty where there are no words."""
    plain = _PLAIN.get((one.measure, one.moment, one.beyond > 0))
    return "" if plain is None else tr(plain)


def on_steps(group: Sequence[Judged]) -> str:
    """On which steps, to go on with; empty for the start push."""
    steps = [one.step for one in group if one.step]
    return tr(" on {steps}").format(steps=in_steps(steps)) if steps else ""


def _numbers_and_bands(group: Sequence[Judged]) -> str:
    """Numbers in a row, or from where to where if they are many, a band after those that share its ends."""
    parts: list[tuple[str, list[float]]] = []
    for one in group:
        if isinstance(one.result, Estimate):
            band = "" if one.band is None else f" ({band_in_words(one.band)})"
            if not parts or parts[-1][0] != band:
                parts.append((band, []))
            parts[-1][1].append(one.result.value)
    return ", ".join(row_in_unit(values, group[0].measure) + band for band, values in parts)


def row_in_unit(values: Sequence[float], measure: str) -> str:
    """Numbers in a row, or from where to where if they are many."""
    if len(values) <= _MOST:
        return ", ".join(in_unit(value, measure) for value in values)
    low, high = _digits(min(values), measure), in_unit(max(values), measure)
    return tr("{low} to {high}").format(low=low, high=high)


def band_in_words(band: Band) -> str:
    """From where to where, within a sentence."""
    return tr("band {ends}").format(ends=ends_in_words(band))


def ends_in_words(band: Band) -> str:
    """From where to where a band goes."""
    high = None if band.high is None else in_unit(band.high, band.measure)
    if band.low is None:
        return tr("up to {high}").format(high=high)
    if high is None:
        return tr("from {low}").format(low=in_unit(band.low, band.measure))
    return tr("{low} to {high}").format(low=_digits(band.low, band.measure), high=high)


def in_unit(value: float, measure: str) -> str:
    """A number as a coach reads it: seconds in ms, metres to the centimetre, whole degrees."""
    digits, unit = _digits(value, measure), unit_of(measure)
    if unit == "deg":
        return f"{digits}°"
    written = {"s": "ms", "deg/s": "°/s"}.get(unit, unit)
    return f"{digits} {written}".strip()


def at_most_in_unit(value: float, measure: str) -> str:
    """The same, rounded up."""
    times, places = _shown_in(unit_of(measure))
    steps = times * 10**places
    return in_unit(math.ceil(value * steps - 1e-9) / steps, measure)


def _digits(value: float, measure: str) -> str:
    """The same without its unit; never a minus before nothing."""
    times, places = _shown_in(unit_of(measure))
    return signed(times * value, f".{places}f")


def _shown_in(unit: str) -> tuple[int, int]:
    """By what a number is multiplied to be shown, and to how many places."""
    if unit == "s":
        return 1000, 0
    return (1, 0) if unit.startswith("deg") else (1, 2)


def series_name(measure: str, *, many: bool = False) -> str:
    """A number over the steps: begins a sentence, or stands within one (``many``)."""
    one, several = _RHYTHM[measure]
    return tr(several) if many else tr(one)


def change_in_words(measure: str, value: float, first: int, second: int) -> str:
    """A step against the direction of the numbers."""
    size = in_unit(abs(value), measure)
    words = (
        tr("{name} rises by {size} from step {first} to step {second}.")
        if value > 0
        else tr("{name} falls by {size} from step {first} to step {second}.")
    )
    return words.format(name=series_name(measure), size=size, first=first, second=second)


def ragged_in_words(courses: Sequence[Course], told: Collection[str] = ()) -> str:
    """How ragged the durations are beside what errors of measuring alone would make of them, in a sentence;
    empty where none has enough steps. ``told``: measures of which a break or a side difference was told: over
    all steps it may be lost among the others, which takes nothing from it.
    """
    parts = []
    for one in courses:
        if one.ragged_s is None or one.chance_s is None:
            continue
        way = tr("rise") if RISES[one.measure] else tr("fall")
        more = tr(
            "{name} scatter by {size} ms about a steady {way}, more than chance alone (up to {chance} ms)"
        )
        less = tr("{name} scatter by {size} ms about a steady {way}, no more than chance (up to {chance} ms)")
        lost = tr(
            "{name} scatter by {size} ms about a steady {way} over all steps together, which chance alone "
            "may bring (up to {chance} ms), though what is named above stands out"
        )
        words = more if one.ragged else lost if one.measure in told else less
        size, chance = (f"{1000 * seconds:.1f}" for seconds in (one.ragged_s, one.chance_s))
        name = series_name(one.measure, many=True)
        parts.append(words.format(name=name, size=size, way=way, chance=chance))
    return tr("{parts}.").format(parts=capital("; ".join(parts))) if parts else ""


def further_in_front(measure: str, value: float, step: int) -> str:
    """A touchdown distance that is less than that of the step before."""
    words = tr(
        "The foot lands {size} further in front of the body on step {before} than on step {step}; over the "
        "first steps it should land ever further in front."
    )
    return words.format(before=step - 1, step=step, size=in_unit(abs(value), measure))


def course_in_words(measure: str, value: float) -> str:
    """A number that goes the wrong way as a whole."""
    words = tr("{name} rises over the steps, by {size} a step.")
    if value < 0:
        words = tr("{name} falls over the steps, by {size} a step.")
    return words.format(name=series_name(measure), size=in_unit(abs(value), measure))


def side_in_words(measure: str, value: float) -> str:
    """A difference between the feet."""
    size = in_unit(abs(value), measure)
    left, right = tr("left"), tr("right")
    longer, other = (left, right) if value > 0 else (right, left)
    return tr("{name} differs by side: {size} more on the {longer} foot than on the {other}.").format(
        name=series_name(measure), size=size, longer=longer, other=other
    )
