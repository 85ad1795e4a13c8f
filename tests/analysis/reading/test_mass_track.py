"""Speeds of the centre of mass, against the truth that the renderer wrote beside the sample clips."""

from dataclasses import replace
from itertools import pairwise

import pytest

from analysis.reading import read
from analysis.values.estimate import Estimate, NoValue
from analysis.values.evidence import TrackedPoint
from analysis.values.tracks_file import read_tracks
from tests.analysis.reading.runs import SAMPLES, evidence_of, sample


@pytest.fixture(scope="module", params=["wing_day1", "wing_day2"])
def followed(request):
    """Clicks on some frames, points followed between them, and the truth."""
    sheet, truth = sample(request.param)
    evidence = evidence_of(sheet)
    tracks = read_tracks(SAMPLES / f"{request.param}.tracks.npz")
    return replace(evidence, tracks=tracks), truth


def mass(evidence):
    return replace(evidence, tracked=TrackedPoint.CENTRE_OF_MASS)


def test_step_velocities_are_those_of_the_centre_of_mass(followed):
    evidence, truth = followed
    reading = read(mass(evidence))
    known = {s["step"]: s["step_velocity_com_m_s"] for s in truth["steps"] if "step_velocity_com_m_s" in s}
    pairs = [(s.step_velocity_m_s, known[s.step]) for s in reading.steps if s.step in known]
    pairs = [(shown, true) for shown, true in pairs if isinstance(shown, Estimate)]
    assert len(pairs) >= 6
    for shown, true in pairs:
        assert shown.value == pytest.approx(true, abs=0.12)  # 1.5 px clicks, events off by half a frame
    held = sum(shown.low <= true <= shown.high for shown, true in pairs)
    assert held >= len(pairs) - 1


def test_it_is_said_on_how_many_frames_the_centre_of_mass_is_known(followed):
    by_hips, by_mass = read(followed[0]), read(mass(followed[0]))
    said = [n for n in by_mass.notes if "centre of mass, known on" in n]
    assert len(said) == 1
    assert not any("centre of mass, known on" in n for n in by_hips.notes)
    assert f"{len(by_mass.path)} of {len(by_hips.path)} frames" in said[0]


def test_the_clock_still_starts_with_the_hips(followed):
    """The same zero: splits differ by what lies between hips and centre of mass, not by another clock."""
    by_hips, by_mass = read(followed[0]), read(mass(followed[0]))
    for one, other in zip(by_hips.splits, by_mass.splits, strict=True):
        assert other.from_hips == one.from_hips
        if isinstance(one.time_s, Estimate) and isinstance(other.time_s, Estimate):
            assert other.time_s.value == pytest.approx(one.time_s.value, abs=0.1)
            assert other.time_s.value != one.time_s.value


def test_without_whole_bodies_the_reason_says_so_and_the_hips_still_serve(followed):
    evidence, _ = followed
    hips = tuple(p for p in evidence.run.points if p.name.endswith("_hip"))
    bare = replace(evidence, run=replace(evidence.run, points=hips), tracks=None)
    shown = [s.step_velocity_m_s for s in read(mass(bare)).steps]
    assert all(isinstance(one, NoValue) for one in shown)
    assert any("whole body" in one.reason for one in shown if isinstance(one, NoValue))
    assert any(isinstance(s.step_velocity_m_s, Estimate) for s in read(bare).steps)


def test_speed_gained_is_one_step_velocity_less_the_one_before(followed):
    """Its own error, since what both share cancels: less than of two numbers that share nothing."""
    evidence, truth = followed
    steps = read(mass(evidence)).steps
    known = {s["step"]: s.get("step_velocity_com_m_s") for s in truth["steps"]}
    assert isinstance(steps[0].speed_gained_m_s, NoValue)
    for before, now in pairwise(steps):
        if not isinstance(now.speed_gained_m_s, Estimate):
            continue
        one, other = before.step_velocity_m_s, now.step_velocity_m_s
        assert now.speed_gained_m_s.value == pytest.approx(other.value - one.value)
        true = known[now.step] - known[before.step]
        assert abs(now.speed_gained_m_s.value - true) < 3.0 * now.speed_gained_m_s.u
