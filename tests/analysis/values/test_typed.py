"""Numbers as people type them."""

from __future__ import annotations

import math

import pytest

from analysis.values.typed import typed_number


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [("2.5", "", 2.5), ("2,5", "", 2.5), (" -0,1 m ", "m", -0.1), ("5m", "m", 5.0), ("60 s", "s", 60.0)],
)
def test_a_comma_is_as_good_as_a_point_and_the_unit_may_stand_there(text, unit, number):
    assert typed_number(text, unit) == number


@pytest.mark.parametrize("text", ["", "five", "1,2,3", "nan", "inf", "1e999", "\u221e"])
def test_what_is_no_number_is_none(text):
    assert math.isnan(typed_number(text))
