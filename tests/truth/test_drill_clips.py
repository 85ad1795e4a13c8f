"""The sample films of drills, read from clicks that are off by 1.5 px, against the truth of the renderer.

The renderer shares no code with the reading.
"""

import math

import pytest

from analysis.reading.drills import read_drill, within_set
from analysis.values.comparison import MeasureKey
from analysis.values.estimate import NoValue
from tests.helpers.drill_clips import DRILL_CLIPS, drill_clip

# a click of 1.5 px is 1.0 cm here, a frame 8.3 ms; a hip's place under the skin 2 cm
TOLERANCE = {
    "release_angle_deg": 1.5,
    "release_speed_m_s": 0.15,
    "release_height_m": 0.05,
    "trunk_at_release_deg": 4.0,
    "hip_set_to_release_m": 0.03,
    "hip_release_to_landing_m": 0.03,
    "jump_projection_deg": 2.0,
    "jump_flight_s": 1 / 120,
    "jump_distance_m": 0.03,
}


@pytest.fixture(scope="module", params=DRILL_CLIPS)
def clip(request):
    film, evidence, truth = drill_clip(request.param)
    return read_drill(film, evidence), truth


def test_every_measure_of_every_rep_within_its_tolerance_and_its_interval(clip):
    reading, truth = clip
    asked = 0
    for one, of in zip(reading.reps, truth["reps"], strict=True):
        assert one.rep.number == of["number"]
        for name, true in of["measures"].items():
            found = one.result(MeasureKey(name))
            assert not isinstance(found, NoValue), found.reason
            assert found.value == pytest.approx(true, abs=TOLERANCE[name]), name
            assert found.low <= true <= found.high, (name, found, true)
            asked += 1
    assert asked == 2 * {"throw": 6, "jump": 3}[reading.film.kind.value]


def test_what_changed_from_the_first_rep_to_the_last_is_told(clip):
    reading, truth = clip
    first, last = (of["measures"] for of in truth["reps"])
    table = within_set([reading], 1)
    told = {key.measure for key, row in table.rows.items() if row[-1].told}
    plain = {"throw": {"hip_set_to_release_m", "hip_release_to_landing_m", "release_speed_m_s"}}
    assert told >= plain.get(reading.film.kind.value, {"jump_distance_m", "jump_flight_s"})
    for key, row in table.rows.items():
        if key.measure in first and row[-1].told:
            assert math.copysign(1.0, row[-1].difference.value) == math.copysign(
                1.0, last[key.measure] - first[key.measure]
            )


def test_events_stand_on_the_first_frame_after_they_happened(clip):
    reading, truth = clip
    for one, of in zip(reading.reps, truth["reps"], strict=True):
        for event, frame in one.rep.events:
            assert -1e-9 <= frame / 120 - of["events_s"][event.value] < 1 / 120 + 1e-9
