"""Names of a drill's measures beside its table."""

import pytest

from analysis.reading.key_names import key_name
from analysis.report.words import headed, unit_shown
from analysis.values.comparison import MeasureKey
from app.plan.drill_films.measures_view import _over_lines


@pytest.mark.parametrize("measure", ["release_angle_deg", "release_speed_m_s", "jump_projection_deg"])
def test_no_unit_stands_alone_on_a_line(measure):
    unit = unit_shown(measure)
    lines = _over_lines(headed(key_name(MeasureKey(measure)), unit)).split("\n")
    assert lines[-1].endswith(unit.symbol)
    assert all(len(line) > len(unit.symbol) + 1 for line in lines)
