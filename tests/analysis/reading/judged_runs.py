"""Runs made of tags and numbers alone, for tests of what is judged."""

from __future__ import annotations

from analysis.ground.carried import combine, normal
from analysis.reading.breaks import rhythm_candidates
from analysis.reading.found import Found
from analysis.reading.questions import judge
from analysis.reading.series import StepSeries
from analysis.values.bands import BandGroup
from analysis.values.estimate import Estimate, NoValue
from analysis.values.run import Side
from analysis.values.starting_bands import starting_bands

U_S = 0.003
BAND = [starting_bands()]
CLEAN = (0.190, 0.172, 0.158, 0.148, 0.141, 0.136, 0.133)


def number(value, u):
    """A number with an error of its own."""
    return combine(value, {normal(u): 1.0})


def estimate(value, u):
    return Estimate(value, u, value - 1.96 * u, value + 1.96 * u)


def series(values, measure="contact_s", u=U_S, first=Side.LEFT):
    """One measure over the steps; frames ten a step. None: no number."""
    sides = [first if n % 2 == 0 else first.other for n in range(len(values))]
    numbers = [NoValue("not tagged") if v is None else number(v, u) for v in values]
    frames = tuple((10 * n, 10 * n + 5) for n in range(len(values)))
    return StepSeries(measure, tuple(range(1, len(values) + 1)), tuple(sides), tuple(numbers), frames)


def found(*rows):
    """(measure, moment, step, value, u): what a reading found; value None: nothing."""
    out = {}
    for measure, moment, step, value, u in rows:
        shown = NoValue("Place the point.") if value is None else estimate(value, u)
        wanted = ((7, "left_hip"),) if value is None else ()
        one = Found(step, None, shown, (100 + step,), wanted)
        out.setdefault((measure, moment), []).append(one)
    return out


def judged(rows=(), numbers=(), tables=BAND, known=BandGroup()):  # noqa: B008
    """The judgement of a run of these numbers."""
    return judge(found(*rows), rhythm_candidates(tuple(numbers)), tables, known)
