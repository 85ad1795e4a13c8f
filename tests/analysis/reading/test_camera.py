"""A film by a turning camera, or through a bent lens, reads as the same run filmed still and straight."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.estimate import Estimate, NoValue
from analysis.values.run import FrameNumber
from tests.analysis.ground.films import bent
from tests.analysis.reading.runs import evidence_of, sample

SHEET, TRUTH = sample("wing_day1")
LENS = Lens(-0.08, 1059.3, (639.5, 359.5))


def moved(evidence, place_of):
    """The evidence with every click, (frame, pixel), where ``place_of`` puts it."""

    def at(frame, u, v):
        return tuple(float(n) for n in place_of(int(frame), np.array([u, v])))

    def put(item):
        u, v = at(item.frame, item.u, item.v)
        return replace(item, u=u, v=v)

    run = evidence.run
    lines = [replace(n, lower=at(n.frame, *n.lower), upper=at(n.frame, *n.upper)) for n in run.lines]
    run = replace(
        run,
        marks=tuple(map(put, run.marks)),
        points=tuple(map(put, run.points)),
        lines=tuple(lines),
    )
    return replace(evidence, run=run)


def turning(frames=720, error=0.3, untied=()):
    """A camera that sways by 12 degrees and rolls by 3 over the film, and its exact path."""
    matrix = np.array([[1059.3, 0, 639.5], [0, 1059.3, 359.5], [0, 0, 1.0]])
    maps = []
    for turn, roll in zip(
        np.radians(np.linspace(0, 12, frames)), np.radians(np.linspace(0, 3, frames)), strict=True
    ):
        about = np.array([[np.cos(turn), 0, np.sin(turn)], [0, 1, 0], [-np.sin(turn), 0, np.cos(turn)]])
        spin = np.array([[np.cos(roll), -np.sin(roll), 0], [np.sin(roll), np.cos(roll), 0], [0, 0, 1]])
        maps.append(matrix @ about @ spin @ np.linalg.inv(matrix))
    maps = np.array([m / m[2, 2] for m in maps])
    errors = np.full(frames, error)
    errors[list(untied)] = np.inf
    return CameraPath(CameraKind.TURNING, FrameNumber(0), FrameNumber(0), maps, errors)


def on_its_frame(path, frame, pixel):
    u, v, w = np.linalg.inv(path.maps[frame]) @ np.array([*pixel, 1.0])
    return np.array([u / w, v / w])


def numbers(reading):
    found = [getattr(reading.start, name) for name in ("first_step_length_m", "front_foot_push_s")]
    for step in reading.steps:
        found += [step.contact_s, step.step_length_m, step.step_velocity_m_s, step.shin_touchdown_deg]
        found += [step.shin_toe_off_deg, step.trunk_touchdown_deg]
    found += [s.time_s for s in reading.splits] + [s.local_m_s for s in reading.speeds]
    return found + [line.angle_deg for line in reading.lines]


def assert_alike(one, two, rel=0.002, u_at_least=0.9):
    for a, b in zip(numbers(one), numbers(two), strict=True):
        assert isinstance(a, Estimate) == isinstance(b, Estimate)
        if isinstance(a, Estimate):
            assert b.value == pytest.approx(a.value, rel=rel, abs=0.01)
            assert b.u >= u_at_least * a.u


@pytest.fixture(scope="module")
def still():
    return read(evidence_of(SHEET))


def test_a_turning_camera_reads_as_a_still_one_with_wider_intervals(still):
    path = turning()
    evidence = moved(evidence_of(SHEET), lambda f, p: on_its_frame(path, f, p))
    found = read(replace(evidence, camera=path))
    assert_alike(still, found)
    assert found.camera.drift_px == pytest.approx(0.3)
    assert any("camera turned" in note for note in found.notes)
    lost = read(evidence)  # without the path the same clicks mean nothing
    assert abs(lost.steps[5].step_velocity_m_s.value - still.steps[5].step_velocity_m_s.value) > 0.3


def test_a_turn_that_may_have_been_a_walk_is_said_with_the_reading():
    frames = np.arange(240)
    maps = np.tile(np.eye(3), (240, 1, 1))
    maps[:, 0, 2] = 0.05 * (frames - 120)  # six pixels either way
    away = np.abs(maps[:, 0, 2])
    path = CameraPath(CameraKind.TURNING, FrameNumber(120), FrameNumber(0), maps, 0.1 + 0.36 * away, 0.3)
    plain = replace(path, error_px=np.full(240, 0.2))
    explained = replace(path, parallax_px=0.8)  # near and far part: hands, not a walk
    said = [
        any("slow walk" in note for note in read(replace(evidence_of(SHEET), camera=each)).notes)
        for each in (path, plain, explained)
    ]
    assert said == [True, False, False]


def test_drift_widens_speeds_and_lengths():
    path = turning()
    evidence = moved(evidence_of(SHEET), lambda f, p: on_its_frame(path, f, p))
    calm, drifting = (
        read(replace(evidence, camera=replace(path, error_px=e * np.linspace(0, 1, 720)))) for e in (0.0, 9.0)
    )
    assert drifting.steps[5].step_length_m.u > 1.3 * calm.steps[5].step_length_m.u
    assert drifting.speeds[1].local_m_s.u > 1.1 * calm.speeds[1].local_m_s.u


@pytest.mark.parametrize("reference", [150, 300, 600])
def test_a_camera_carried_one_way_moves_no_number_beyond_what_is_stated(still, reference):
    """The picture is laid off by 8 px a second, some 0.1 m/s, one and a half times what the path states:
    carried so far, numbers are off by no more than their intervals say. The marks stand on the first frame.
    """
    off = 8.0 * (np.arange(720) - reference) / 240.0
    maps = np.tile(np.eye(3), (720, 1, 1))
    maps[:, 0, 2] = off
    path = CameraPath(
        CameraKind.TURNING, FrameNumber(reference), FrameNumber(0), maps, np.hypot(0.2, off / 1.5)
    )
    found = read(replace(evidence_of(SHEET), camera=path))
    moved_s = found.splits[1].time_s.value - still.splits[1].time_s.value
    assert abs(moved_s) > 0.02
    for was, now in zip(numbers(still), numbers(found), strict=True):
        if isinstance(was, Estimate):
            assert now.low <= was.value <= now.high


def test_a_bent_lens_reads_as_a_straight_one(still):
    evidence = moved(evidence_of(SHEET), lambda _, p: bent(LENS, p[None])[0])
    assert_alike(still, read(replace(evidence, lens=LENS)))
    crooked = read(evidence)
    miss = [
        abs(a.step_length_m.value - b.step_length_m.value)
        for a, b in zip(crooked.steps[:-1], still.steps[:-1], strict=True)
    ]
    assert max(miss) > 0.02


def test_lens_and_turning_together(still):
    path = replace(turning(), lens=LENS)
    evidence = moved(evidence_of(SHEET), lambda f, p: bent(LENS, on_its_frame(path, f, p)[None])[0])
    assert_alike(still, read(replace(evidence, camera=path, lens=LENS)))


@pytest.mark.parametrize(
    ("followed_with", "now"), [(None, LENS), (LENS, None), (LENS, replace(LENS, k1=-0.05))]
)
def test_a_background_followed_with_another_lens_is_not_followed_yet(still, followed_with, now):
    path = replace(turning(), lens=followed_with)
    found = read(replace(evidence_of(SHEET), camera=path, lens=now))
    assert isinstance(found.steps[2].step_length_m, NoValue)
    assert "another lens" in found.steps[2].step_length_m.reason
    assert found.steps[2].contact_s == still.steps[2].contact_s
    assert any("Follow the background again" in note for note in found.notes)


def test_a_camera_that_stood_still_needs_no_following_for_another_lens():
    path = CameraPath(CameraKind.STILL, FrameNumber(0), FrameNumber(0), np.eye(3)[None], np.zeros(1))
    found = read(replace(evidence_of(SHEET), camera=path, lens=LENS))
    assert isinstance(found.steps[2].step_length_m, Estimate)


def test_frames_that_cannot_be_tied_lose_their_places_and_the_rest_reads(still):
    steps = still.steps
    touchdown = steps[4].touchdown
    span = range(touchdown - 3, steps[4].toe_off + 4)
    path = turning(untied=span)
    evidence = moved(evidence_of(SHEET), lambda f, p: on_its_frame(path, f, p))
    found = read(replace(evidence, camera=path))
    assert isinstance(found.steps[4].step_length_m, NoValue)
    assert found.steps[1].step_length_m.value == pytest.approx(steps[1].step_length_m.value, abs=0.005)
    assert found.steps[4].contact_s == steps[4].contact_s
    assert any("can't be tied" in note for note in found.notes)
    assert len(found.lines) == len(still.lines)
    gone = [line for line in found.lines if line.frame in span]
    assert gone
    assert all(isinstance(line.angle_deg, NoValue) for line in gone)


def test_a_walking_camera_gives_times_and_angles_only(still):
    path = CameraPath(CameraKind.WALKING, FrameNumber(0), FrameNumber(0), parallax_px=9.0)
    found = read(replace(evidence_of(SHEET), camera=path))
    assert isinstance(found.steps[2].step_length_m, NoValue)
    assert "walked" in found.steps[2].step_length_m.reason
    assert found.steps[2].contact_s == still.steps[2].contact_s
    assert isinstance(found.steps[2].trunk_touchdown_deg, Estimate)
    assert any("For want of a scale" in note for note in found.notes)


def test_without_marks_angles_take_the_frames_own_roll(still):
    """Rolled by 3 degrees at the end of the film: angles come out level with its first frame, but for what a
    wide view stretches towards its edges."""
    path = turning()
    evidence = moved(evidence_of(SHEET), lambda f, p: on_its_frame(path, f, p))
    bare = replace(evidence, run=replace(evidence.run, marks=()), camera=path)
    plain = read(replace(evidence_of(SHEET), run=replace(evidence_of(SHEET).run, marks=())))
    off = [
        two.angle_deg.value - one.angle_deg.value
        for one, two in zip(plain.lines, read(bare).lines, strict=True)
    ]
    assert max(map(abs, off)) < 3.5
    assert np.mean(np.abs(off)) < 1.2
    tilted = read(replace(bare, camera=None)).lines[-1].angle_deg.value
    assert abs(tilted - plain.lines[-1].angle_deg.value) > 1.5


def test_without_a_scale_one_note_lists_what_is_missing():
    evidence = evidence_of(SHEET)
    found = read(replace(evidence, run=replace(evidence.run, marks=())))
    listing = [note for note in found.notes if note.startswith("For want of a scale")]
    assert len(listing) == 1
    assert "splits and speeds" in listing[0]
    assert "Set two marks" in listing[0]


def test_the_clip_s_own_camera_is_told():
    """The sample clip's truth: 12 m away, rolled by 0.25 and tilted by -0.6 degrees."""
    camera = read(evidence_of(SHEET)).camera
    of = TRUTH["camera"]
    assert camera.distance_m.low <= of["distance_m"] <= camera.distance_m.high
    assert abs(abs(camera.roll_deg.value) - of["roll_deg"][0]) < 0.1
    assert camera.tilt_deg.low <= of["tilt_deg"][0] <= camera.tilt_deg.high
    assert not isinstance(camera.bend_px, NoValue)
    assert abs(camera.bend_px.value) < 2.0
