"""A measured running trial: events from the force plates, places from markers, read through a made-up exact
camera.

Data: BMClab/BMC, CC BY 4.0, see data/running_trial/README.md. Reference values (worked out from the source's
files): contact 0.2433 and 0.2633 s, flight 0.1033 s, step time 0.3467 s, step length 1.163 m by the toe
column, 1.114 m by the heel, pelvis 2.745 m/s on average, 2.59 to 2.99 over quarters of the trial.
"""

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from analysis.reading import read
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import BodyPoint, Footfall, GroundMark, Run, Side

DATA = Path(__file__).parent / "data" / "running_trial"
RATE = 300
THRESHOLD_N = 20.0
PX_PER_M = 400.0


def pixel(x_m, y_m):
    """A camera so far off that depth doesn't show."""
    return 100.0 + PX_PER_M * x_m, 650.0 - PX_PER_M * y_m


def crossings(column):
    """Frames of the first force sample above the threshold and of the first one below it again."""
    with (DATA / "forces.csv").open(encoding="utf-8") as file:
        rows = [(round(float(r["time_s"]) * RATE), float(r[column])) for r in csv.DictReader(file)]
    touchdown = next(frame for frame, force in rows if force >= THRESHOLD_N)
    toe_off = next(frame for frame, force in rows if frame > touchdown and force < THRESHOLD_N)
    return FrameNumber(touchdown), FrameNumber(toe_off)


def markers():
    with (DATA / "markers.csv").open(encoding="utf-8") as file:
        return {
            (int(r["frame"]), r["marker"]): (float(r["x_mm"]) / 1000, float(r["y_mm"]) / 1000)
            for r in csv.DictReader(file)
        }


def point(frame, name, *places):
    """The middle of some markers as a body point; marker frame n is film frame 2 (n - 1)."""
    x = sum(p[0] for p in places) / len(places)
    y = sum(p[1] for p in places) / len(places)
    return BodyPoint(FrameNumber(2 * (frame - 1)), name, *pixel(x, y))


def reading(right="RTOE", left="LTOE"):
    found = markers()
    hips = [
        point(n, f"{side}_hip", found[n, f"{letter}ASI"], found[n, f"{letter}PSI"])
        for n in (9, 10, 61, 62)
        for side, letter in (("left", "L"), ("right", "R"))
    ]
    shoes = [point(28, "right_toe", found[28, right]), point(81, "left_toe", found[81, left])]
    marks = [(x, y) for x in (0.0, 2.0) for y in (0.0, 1.0)]
    falls = [
        Footfall("r", Side.RIGHT, *crossings("right_vertical_n"), 0),
        Footfall("l", Side.LEFT, *crossings("left_vertical_n"), 0),
    ]
    run = Run(
        id="trial",
        film_id="trial",
        name="trial",
        first_frame=FrameNumber(0),
        last_frame=FrameNumber(245),
        camera_distance_m=1000.0,
        marks=tuple(GroundMark(f"{x}{y}", x, y, FrameNumber(0), *pixel(x, y)) for x, y in marks),
        footfalls=tuple(falls),
        points=tuple(hips + shoes),
    )
    film = FilmFacts(FrameTimes.from_seconds([n / RATE for n in range(246)]), 1280, 720)
    return read(Evidence(run, film))


def test_times_of_the_force_plates():
    one, two = reading().steps
    sample = 1 / RATE
    assert one.contact_s.value == pytest.approx(0.2433, abs=sample)
    assert two.contact_s.value == pytest.approx(0.2633, abs=sample)
    assert one.flight_s.value == pytest.approx(0.1033, abs=sample)
    assert one.step_time_s.value == pytest.approx(0.3467, abs=sample)
    assert one.step_frequency_hz.value == pytest.approx(2.885, abs=2.885**2 * sample)


@pytest.mark.parametrize(
    ("right", "left", "length_m"),
    [("RTOE", "LTOE", 1.163), ("RCAL", "LCAL", 1.114), ("RMT5", "LTOE", 1.114)],
)
def test_step_length_by_the_marker_chosen(right, left, length_m):
    step = reading(right, left).steps[0]
    assert step.step_length_m.value == pytest.approx(length_m, abs=0.001)
    assert step.step_length_m.low <= length_m <= step.step_length_m.high
    assert step.foot_to_foot_speed_m_s.value == pytest.approx(length_m / 0.3467, rel=0.01)


def test_step_velocity_of_the_pelvis():
    velocity = reading().steps[0].step_velocity_m_s
    assert 2.59 <= velocity.value <= 2.99
    assert velocity.value == pytest.approx(2.745, rel=0.02)


def test_the_trial_is_not_taken_for_slow_motion():
    assert not any("slow motion" in note for note in reading().notes)


def test_without_the_second_touchdown_nothing_is_made_up():
    run = Run("t", "t", "t", FrameNumber(0), FrameNumber(245))
    film = FilmFacts(FrameTimes.from_seconds([n / RATE for n in range(246)]), 1280, 720)
    first = Footfall("r", Side.RIGHT, *crossings("right_vertical_n"), 0)
    step = read(Evidence(replace(run, footfalls=(first,)), film)).steps[0]
    assert step.contact_s.value == pytest.approx(0.2433, abs=1 / RATE)
    assert step.flight_s.reason
