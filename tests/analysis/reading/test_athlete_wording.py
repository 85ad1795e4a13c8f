"""Every departure of the rhythm in plain words: which way, where, and its number in brackets."""

import pytest

from analysis.reading import athlete_wording
from analysis.reading.series import RISES
from analysis.reading.wording import series_name

SERIES = (*RISES, "com_rise_m")


def test_a_change_a_wrong_way_and_a_difference_between_the_feet():
    assert athlete_wording.changing("step_velocity_m_s", -0.5, 2, 3) == (
        "The run is slower on step 3 than on step 2 (0.50 m/s)."
    )
    assert athlete_wording.going_wrong("flight_s", -0.004) == (
        "The flight is shorter from step to step (4 ms a step)."
    )
    assert athlete_wording.differing("contact_s", -0.012) == (
        "The foot stays on the ground longer on the right than on the left (12 ms)."
    )
    assert athlete_wording.landing_further("touchdown_distance_m", -0.14, 5) == (
        "The foot lands further in front of the body on step 4 than on step 5 (0.14 m)."
    )


@pytest.mark.parametrize("measure", SERIES)
@pytest.mark.parametrize("value", [0.1, -0.1])
def test_every_number_of_the_rhythm_has_plain_words(measure, value):
    assert series_name(measure)
    for words in (athlete_wording.changing(measure, value, 1, 2), athlete_wording.differing(measure, value)):
        assert "band" not in words
        assert words.endswith(").")
