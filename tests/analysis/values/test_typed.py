"""Numbers as people type them."""

from __future__ import annotations

import math
import re

import pytest

from analysis.values.errors import CinderlaneError
from analysis.values.typed import typed_day, typed_number


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [("2.5", "", 2.5), ("2,5", "", 2.5), (" -0,1 m ", "m", -0.1), ("5m", "m", 5.0), ("60 s", "s", 60.0)],
)
def test_a_comma_is_as_good_as_a_point_and_the_unit_may_stand_there(text, unit, number):
    assert typed_number(text, unit) == number


@pytest.mark.parametrize("text", ["", "five", "1,2,3", "nan", "inf", "1e999", "\u221e"])
def test_what_is_no_number_is_none(text):
    assert math.isnan(typed_number(text))


@pytest.mark.parametrize(
    ("text", "day"),
    [("2026-03-20", "2026-03-20"), (" 20260320 ", "2026-03-20"), ("2026-W12-5", "2026-03-20"), (" ", "")],
)
def test_days_are_taken_as_iso_8601_has_them(text, day):
    assert typed_day(text) == day


@pytest.mark.parametrize("text", ["yesterday", "2026-02-30", "20.3.2026"])
def test_what_is_no_day_is_named(text):
    with pytest.raises(CinderlaneError, match=f"^{re.escape(text)} is no day"):
        typed_day(text)
