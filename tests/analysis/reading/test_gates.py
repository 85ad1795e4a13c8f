"""Gate times against films: the arithmetic by hand, the error of a read-off number from the GUM."""

import math
from dataclasses import replace

import pytest

from analysis.reading.gates import gate_days, gate_history, gate_mean
from analysis.values.estimate import Estimate, NoValue
from analysis.values.gate import GateTime
from tests.analysis.report.pages import told_of_day


@pytest.fixture(scope="module")
def film():
    return told_of_day("wing_day1", "2026-03-06").reading


def gate(time_s, day="2026-03-06", distance=5.0, who="athlete"):
    return GateTime(f"{day}{time_s}", who, day, distance, time_s)


def test_a_number_given_to_a_hundredth_has_a_rectangular_error():
    """JCGM 100:2008, F.2.2.1: a resolution of dx leaves u = 0.29 dx; JCGM 101: 95 % of a rectangle."""
    one = gate_mean([1.62])
    assert one.u == pytest.approx(0.29 * 0.01, rel=0.01)
    assert one.half_width == pytest.approx(0.95 * 0.005, rel=0.01)
    four = gate_mean([1.60, 1.62, 1.64, 1.62])
    assert (four.value, four.u) == (pytest.approx(1.62), pytest.approx(one.u / 2))


def test_the_difference_holds_both_errors(film):
    (found,) = gate_days([gate(1.62)], [film])
    split = next(s for s in film.splits if s.x_m == 5.0)
    assert found.film_s == split.time_s
    assert found.film_off_s == split.from_front_toe_off_s
    assert found.difference_s.value == pytest.approx(1.62 - split.time_s.value)
    assert found.difference_s.u == pytest.approx(math.hypot(split.time_s.u, 0.01 / math.sqrt(12)))
    assert found.difference_off_s.value > found.difference_s.value + 0.3
    assert found.runs == 1


def test_several_of_a_day_stand_as_means(film):
    other = replace(film, about=replace(film.about, run_id="other", marks=()))  # clicked for it alone
    (found,) = gate_days([gate(1.60), gate(1.64)], [film, other])
    assert found.gate_s.value == pytest.approx(1.62)
    assert found.runs == 2
    assert found.film_s.u == pytest.approx(film.splits[0].time_s.u / math.sqrt(2))


def test_what_has_no_film_says_why(film):
    days = gate_days([gate(1.6, "2026-03-07"), gate(1.6, who="other"), gate(3.3, distance=20.0)], [film])
    assert all(isinstance(one.difference_s, NoValue) for one in days)
    assert {one.difference_s.reason.partition(":")[0] for one in days} == {
        "No film of that day can be read",
        "No film of that day is read at 20 m",
    }
    assert all(isinstance(one.gate_s, Estimate) for one in days)


def test_gate_times_have_a_history():
    """Typical error of pairs by hand: differences 0.02 and 0.04 and 0, 0.02 (Hopkins 2000: SD / sqrt 2)."""
    days = {
        "2026-03-01": (1.60, 1.62),
        "2026-03-08": (1.58, 1.62),
        "2026-03-15": (1.60, 1.60),
        "2026-03-22": (1.55, 1.57),
    }
    found = gate_history([gate(t, day) for day, times in days.items() for t in times], "athlete", 5.0)
    assert [day.mean for day in found.days] == pytest.approx([1.61, 1.60, 1.60, 1.56])
    typical = math.sqrt((0.02**2 + 0.04**2 + 0 + 0.02**2) / 2 / 4)
    assert found.typical_error == pytest.approx(typical)
    assert found.least_change == pytest.approx(1.96 * math.sqrt(2) * typical, rel=1e-4)
