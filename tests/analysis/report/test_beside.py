"""What stands beside the picture while a run is presented: the reading's own numbers, none without one."""

from dataclasses import replace

import pytest

from analysis.report.sections import launched, stepped
from analysis.values.estimate import Estimate, NoValue
from tests.analysis.report.pages import told_of_day


@pytest.fixture(scope="module")
def reading():
    return told_of_day().reading


def test_the_start_push_with_the_trunk_lead_as_far_as_it_is_read(reading):
    start = reading.start
    rows = {row.key: row for row in launched(reading).rows}
    for name in ("rear_foot_push_s", "front_foot_push_s", "first_flight_s"):
        assert rows[f"{name}:0"].value == getattr(start, name).value
    assert isinstance(start.trunk_lead_deg, NoValue)  # no point on the frame that it needs
    assert "trunk_lead_deg:0" not in rows
    led = replace(start, trunk_lead_deg=Estimate(7.5, 1.0, 5.5, 9.5))
    last = launched(replace(reading, start=led)).rows[-1]
    assert (last.name, last.value) == ("Trunk lead", 7.5)
    assert "°" in last.text


def test_a_step_has_a_row_for_each_number_it_has(reading):
    for step in reading.steps:
        shown = [row.value for row in stepped(step).rows]
        assert None not in shown
        for name in ("contact_s", "flight_s", "step_length_m"):
            result = getattr(step, name)
            assert not isinstance(result, Estimate) or result.value in shown
