"""The numbers within a reading."""

from dataclasses import fields, is_dataclass

import pytest

from analysis.values.estimate import Estimate, NoValue


def numbers(value, path=""):
    """Every estimate or reason within a reading, by path."""
    if isinstance(value, Estimate | NoValue):
        yield path, value
    elif is_dataclass(value):
        for f in fields(value):
            # which steps break the rhythm may change; their differences stand among the pairs
            if f.name not in ("footfall_id", "line_id", "mark_id", "breaks"):
                yield from numbers(getattr(value, f.name), f"{path}.{f.name}")
    elif isinstance(value, tuple):
        for n, item in enumerate(value):
            yield from numbers(item, f"{path}[{n}]")


def assert_same(one, two, rel=1e-6):
    """Two readings with the same numbers, and reasons in the same places."""
    first, second = dict(numbers(one)), dict(numbers(two))
    assert first.keys() == second.keys()
    for path, a in first.items():
        b = second[path]
        if isinstance(a, NoValue):
            assert isinstance(b, NoValue), path
            continue
        assert isinstance(b, Estimate), (path, b)
        for x, y in ((a.value, b.value), (a.u, b.u), (a.low, b.low), (a.high, b.high)):
            assert x == pytest.approx(y, rel=rel, abs=1e-6), path
