"""What a departure means, for the athlete: one plain sentence, its number in brackets, no band."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.reading.wording import in_unit, meaning, on_steps, row_in_unit
from analysis.values.answers import Judged
from analysis.values.estimate import Estimate
from analysis.values.words import capital, tr

_MORE: dict[tuple[str, bool], str] = {
    ("contact_s", True): "The foot stays on the ground longer",
    ("contact_s", False): "The foot leaves the ground sooner",
    ("flight_s", True): "The flight is longer",
    ("flight_s", False): "The flight is shorter",
    ("step_length_m", True): "The step is longer",
    ("step_length_m", False): "The step is shorter",
    ("step_velocity_m_s", True): "The run is faster",
    ("step_velocity_m_s", False): "The run is slower",
    ("com_rise_m", True): "The body rises higher",
    ("com_rise_m", False): "The body rises less",
}
"""What it means that a number of the rhythm is larger (True) or smaller there than elsewhere."""


def departing(group: Sequence[Judged]) -> str:
    """One measure that departs in one direction, on all its steps."""
    first = group[0]
    words = tr("{name} is too large") if first.beyond > 0 else tr("{name} is too small")
    begin = meaning(first) or words.format(name=capital(first.name))
    values = [one.result.value for one in group if isinstance(one.result, Estimate)]
    return tr("{begin}{place} ({numbers}).").format(
        begin=begin, place=on_steps(group), numbers=row_in_unit(values, first.measure)
    )


def landing_further(measure: str, value: float, step: int) -> str:
    """A touchdown distance that is less than that of the step before."""
    words = tr("The foot lands further in front of the body on step {before} than on step {step} ({size}).")
    return words.format(before=step - 1, step=step, size=in_unit(abs(value), measure))


def changing(measure: str, value: float, first: int, second: int) -> str:
    """A step against the direction of the numbers; ``value``: of the second less the first."""
    words = tr("{more} on step {second} than on step {first} ({size}).")
    return words.format(more=_more(measure, value), second=second, first=first, size=_size(measure, value))


def going_wrong(measure: str, value: float) -> str:
    """A number that goes the wrong way as a whole; ``value``: by a step."""
    words = tr("{more} from step to step ({size} a step).")
    return words.format(more=_more(measure, value), size=_size(measure, value))


def differing(measure: str, value: float) -> str:
    """A difference between the feet; ``value``: left less right."""
    left, right = tr("left"), tr("right")
    longer, other = (left, right) if value > 0 else (right, left)
    words = tr("{more} on the {longer} than on the {other} ({size}).")
    more = _more(measure, 1.0)
    return words.format(more=more, longer=longer, other=other, size=_size(measure, value))


def _more(measure: str, value: float) -> str:
    return tr(_MORE[measure, value > 0])


def _size(measure: str, value: float) -> str:
    return in_unit(abs(value), measure)
