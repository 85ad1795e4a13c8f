"""Readings that hold nothing but a few numbers, for tests of comparisons."""

from __future__ import annotations

from analysis.values.about import About
from analysis.values.comparison import MeasureKey
from analysis.values.conditions import Conditions
from analysis.values.estimate import Estimate, NoValue
from analysis.values.posture import Moment, PostureReading
from analysis.values.reading import Reading, StartReading

NONE = NoValue("not marked")
NO_START = StartReading(NONE, NONE, NONE, NONE, NONE, NONE, NONE)
KEY = MeasureKey("hip_share", Moment.PUSH, 0)


def reading(value, u=0.01, *, day="2031-05-01", athlete="a", run="r", measures=("hip_share",), **conditions):
    """A run of one day whose measures of the push have these values."""
    values = value if isinstance(value, tuple | list) else [value] * len(measures)
    posture = tuple(
        PostureReading(
            name,
            0,
            Moment.PUSH,
            None,
            NONE if v is None else Estimate(v, u, v - 1.96 * u, v + 1.96 * u),
        )
        for name, v in zip(measures, values, strict=True)
    )
    about = About(run, athlete, Conditions(day=day, **conditions))
    return Reading(100, 240.0, NO_START, (), (), (), (), (), (), posture=posture, about=about)


def day(values, date, **more):
    """The runs of a day."""
    return [reading(v, day=date, run=f"{date} {n}", **more) for n, v in enumerate(values)]
