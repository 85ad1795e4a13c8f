"""Numbers in words: the digits follow the uncertainty."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.report import words
from analysis.values.estimate import Estimate, NoValue


def number(value, half):
    return Estimate(value, half / 1.96, value - half, value + half)


@pytest.mark.parametrize(
    ("result", "unit", "text"),
    [
        (number(0.1634, 0.0087), words.MILLISECONDS, "163 ± 9 ms"),
        (number(0.1634, 0.0382), words.MILLISECONDS, "163 ± 38 ms"),
        (number(0.1634, 0.0013), words.MILLISECONDS, "163.4 ± 1.3 ms"),
        (number(1.2345, 0.05), words.METRES, "1.23 ± 0.05 m"),
        (number(1.2345, 0.012), words.METRES, "1.234 ± 0.012 m"),
        (number(7.24, 0.15), words.METRES_PER_SECOND, "7.24 ± 0.15 m/s"),
        (number(7.24, 0.31), words.METRES_PER_SECOND, "7.2 ± 0.3 m/s"),
        (number(51.3, 2.2), words.DEGREES, "51 ± 2°"),
        (number(-4.26, 0.4), words.DEGREES, "\N{MINUS SIGN}4.3 ± 0.4°"),
        (number(4.4444, 0.17), words.HERTZ, "4.44 ± 0.17 Hz"),
        (number(0.42, 0.03), words.RATIO, "0.42 ± 0.03"),
        (number(1.5, 0.0), words.SECONDS, "1.500 s"),
        (number(-0.0001, 0.2), words.METRES, "0.0 ± 0.2 m"),
    ],
)
def test_a_number_is_written_as_far_as_it_is_known(result, unit, text):
    assert words.number_text(result, unit) == text


def test_a_missing_number_is_a_dash_and_its_reason_is_said():
    missing = NoValue("There is no next touchdown.")
    assert words.number_text(missing, words.METRES) == "–"
    assert words.explanation(missing, words.METRES) == "There is no next touchdown."
    assert words.spoken("Step 3, length", missing, words.METRES) == (
        "Step 3, length: no number. There is no next touchdown."
    )


def test_a_tooltip_gives_the_interval():
    assert words.explanation(number(0.163, 0.009), words.MILLISECONDS) == "95 % interval 154 to 172 ms"


def test_a_column_has_one_number_of_decimals():
    column = [number(1.1, 0.05), number(1.2, 0.012), number(1.3, 0.04), NoValue("")]
    assert words.common_digits(column, words.METRES) == 2
    assert words.common_digits([NoValue("")], words.METRES) == 0


@given(
    value=st.floats(-1e3, 1e3),
    half=st.floats(1e-6, 1e3),
    unit=st.sampled_from([words.MILLISECONDS, words.METRES, words.DEGREES, words.METRES_PER_SECOND]),
)
def test_an_uncertainty_is_never_shown_as_nothing(value, half, unit):
    shown = words.error_text(number(value, half), unit).removeprefix("± ")
    assert float(shown) > 0


@given(value=st.floats(-1e3, 1e3), half=st.floats(0.01, 50))
def test_rounding_stays_well_within_the_uncertainty(value, half):
    shown = words.value_text(number(value, half), words.METRES).replace("\N{MINUS SIGN}", "-")
    assert abs(float(shown) - value) <= max(half / 2, 5.1e-4)
