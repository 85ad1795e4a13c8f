"""Which changes from step to step go against the usual way (docs/measures.md, Rhythm: over the first steps
contact time falls and flight time rises), and how the curve of speed is written.
"""

from dataclasses import replace

from analysis.reading.pairs import read_pairs
from analysis.reading.series import step_series
from analysis.reading.tables import reading_to_json
from analysis.steps.places import StepPlaces
from analysis.steps.table import step_times
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.reading import SpeedBand
from analysis.values.run import Footfall, Side
from tests.app.rail.invented import a_reading, a_run

TIMES = FrameTimes.from_seconds([n / 240 for n in range(400)])


def pairs(*contacts_and_flights):
    """Verdicts by measure and second step of contacts and flights in frames, one after the other."""
    footfalls, at = [], 20
    for number, (contact, flight) in enumerate(contacts_and_flights):
        side = Side.LEFT if number % 2 == 0 else Side.RIGHT
        footfalls.append(Footfall(f"f{number}", side, at, at + contact))
        at += contact + flight
    steps, _ = step_times(tuple(footfalls), TIMES, None)
    nowhere = [NoValue("no marks")] * len(steps)
    series = step_series(steps, StepPlaces(nowhere, nowhere, nowhere, nowhere, nowhere, nowhere))
    return {(p.measure, p.second_step): (p.told_apart, p.against) for p in read_pairs(series)}


def test_a_contact_that_grows_and_a_flight_that_shrinks_go_against_the_usual_way():
    found = pairs((40, 12), (30, 32), (45, 12), (44, 12))
    assert found["contact_s", 2] == (True, False)
    assert found["flight_s", 2] == (True, False)
    assert found["contact_s", 3] == (True, True)
    assert found["flight_s", 3] == (True, True)


def test_what_cannot_be_told_apart_goes_against_nothing():
    found = pairs((40, 12), (41, 11), (40, 12))
    assert found["contact_s", 2] == (False, False)
    assert found["flight_s", 2] == (False, False)


def test_the_curve_of_speed_is_written_as_five_lists_or_null():
    run = a_run()
    assert reading_to_json(a_reading(run))["speed_band"] is None
    band = SpeedBand((0.1, 0.2), (0.3, 0.7), (3.0, 4.0), (2.5, 3.5), (3.5, 4.5))
    assert reading_to_json(replace(a_reading(run), speed_band=band))["speed_band"] == {
        "time_s": [0.1, 0.2],
        "x_m": [0.3, 0.7],
        "v_m_s": [3.0, 4.0],
        "low_m_s": [2.5, 3.5],
        "high_m_s": [3.5, 4.5],
    }
