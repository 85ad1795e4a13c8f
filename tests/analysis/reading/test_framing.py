"""How a film was framed, against a pinhole camera whose picture is known in closed form."""

from __future__ import annotations

import pytest

from analysis.ground.ground import read_ground
from analysis.ground.view import View
from analysis.reading.framing import framing_findings, reach_m
from analysis.values.estimate import Estimate, NoValue
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import Athlete, Direction, GroundMark, Run
from tests.analysis.ground.pinhole import Pinhole
from tests.analysis.reading.runs import evidence_of, sample

TIMES = FrameTimes.from_seconds([n / 240 for n in range(480)])


def _evidence(camera: Pinhole, places=((0, 0), (5, 0), (10, 0), (0, 1), (10, 1)), **more) -> Evidence:
    pixels = camera.pixels(places)
    marks = tuple(
        GroundMark(f"m{n}", float(x), float(y), FrameNumber(0), float(u), float(v))
        for n, ((x, y), (u, v)) in enumerate(zip(places, pixels, strict=True))
    )
    way = Direction.LEFT if camera.leftwards else Direction.RIGHT
    run = Run("r", "f", "run", FrameNumber(0), FrameNumber(479), direction=way, marks=marks)
    return Evidence(run, FilmFacts(TIMES, camera.width, camera.height), **more)


def _reach(evidence: Evidence):
    view = View(evidence.film.width, evidence.film.height)
    return reach_m(read_ground(evidence.run, view.width, view.height, view), view)


def _of(evidence: Evidence, topic: str):
    return next(one for one in framing_findings(evidence) if one.topic == topic)


@pytest.mark.parametrize("leftwards", [False, True])
@pytest.mark.parametrize("roll_deg", [0.0, -2.0, 1.5])
@pytest.mark.parametrize("turn_deg", [0.0, 5.0])
def test_the_farthest_metre_lies_on_the_edge(leftwards, roll_deg, turn_deg):
    """The place that is said to be the last one in view falls on the picture's edge by the camera itself."""
    camera = Pinhole(leftwards=leftwards, roll_deg=roll_deg, turn_deg=turn_deg)
    reach = _reach(_evidence(camera))
    assert isinstance(reach, Estimate)
    u = camera.pixels([(reach.value, 0.0)])[0, 0]
    assert u == pytest.approx(0.0 if leftwards else camera.width - 1, abs=0.1)
    assert 0 < reach.u < 0.2


def test_square_on_the_reach_is_the_cameras_opening():
    """x = x_camera + distance * half the width / focal length, in pixels: similar triangles."""
    camera = Pinhole()
    reach = _reach(_evidence(camera))
    assert reach.value == pytest.approx(6.0 + 12.0 * (1279 / 2) / 1060.0, abs=0.01)
    room = _of(_evidence(camera), "room")
    assert room.good
    assert room.value == pytest.approx(reach.value - 10.0)


def test_too_little_room_is_said_with_what_it_costs():
    room = _of(_evidence(Pinhole(x_m=5.0, distance_m=10.0)), "room")
    assert not room.good
    assert 0 < room.value < 2.5
    assert "past 10 m" in room.sentence
    assert "whole step" in room.sentence


def test_a_line_that_ends_before_the_last_place_is_said():
    places = ((0, 0), (3, 0), (6, 0), (0, 1), (6, 1))
    room = _of(_evidence(Pinhole(x_m=3.0, distance_m=8.0), places), "room")
    assert room.value < 0
    assert "not as far as 10 m" in room.sentence


@pytest.mark.parametrize("roll_deg", [-2.6, 0.4, 3.0])
def test_the_tilt_is_the_cameras_roll(roll_deg):
    """A camera turned about its axis turns the level in the picture by as much, the other way."""
    tilt = _of(_evidence(Pinhole(roll_deg=roll_deg)), "tilt")
    assert abs(tilt.value) == pytest.approx(abs(roll_deg), abs=0.02)
    assert tilt.good is (abs(roll_deg) < 1)


def test_the_size_of_a_pixel_is_distance_over_focal_length():
    pixel = _of(_evidence(Pinhole(), athlete=Athlete("a", "A1", stature_m=1.80)), "athlete")
    assert pixel.value == pytest.approx(12.0 / 1060.0, rel=0.01)
    assert f"{1.80 * 1060 / 12:.0f} pixels tall" in pixel.sentence
    far = _of(_evidence(Pinhole(distance_m=20.0)), "athlete")
    assert not far.good
    assert far.value == pytest.approx(20.0 / 1060.0, rel=0.01)


def test_without_marks_it_is_said_what_would_tell():
    bare = _evidence(Pinhole(), places=((0, 0),))
    (only,) = framing_findings(bare)
    assert (only.topic, only.value, only.good) == ("marks", None, False)
    assert "two marks" in only.sentence


def test_a_line_below_the_picture_has_no_edge():
    """The line lies 106 px below the middle (height over distance times focal length): not in 100 rows."""
    evidence = _evidence(Pinhole())
    low = Evidence(evidence.run, FilmFacts(TIMES, 1280, 100))
    assert isinstance(_reach(low), NoValue)


@pytest.mark.parametrize("name", ["wing_day1", "wing_day2"])
def test_on_a_rendered_clip_the_tilt_is_that_of_its_camera(name):
    """The truth beside the clip says how its camera was rolled."""
    sheet, truth = sample(name)
    told = _of(evidence_of(sheet), "tilt")
    assert abs(told.value) == pytest.approx(abs(truth["camera"]["roll_deg"][0]), abs=0.1)
