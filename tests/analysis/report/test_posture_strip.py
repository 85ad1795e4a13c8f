"""Which part of which picture stands in the posture strip, against the truth beside the rendered films."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from analysis.jobs.evidence import evidence_of_sheet
from analysis.reading.lock import EventKind, Moment
from analysis.reading.read import read
from analysis.report.posture_strip import posture_strip
from analysis.report.scene import Look
from analysis.sheet import read_sheet
from analysis.values.camera import CameraKind, CameraPath
from analysis.values.command import Kind
from analysis.values.evidence import Evidence
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Footfall, StartPush
from sample_clips.film import Film
from sample_clips.scenarios import drawn
from sample_clips.truth import truth_of

SAMPLES = Path(__file__).resolve().parents[3] / "sample_clips"


@pytest.fixture(scope="module")
def sheet():
    return evidence_of_sheet(SAMPLES / "wing_day1.json")[0]


@pytest.fixture(scope="module")
def truth():
    return np.load(SAMPLES / "wing_day1.truth.npz")


def strip_of(evidence):
    return posture_strip(evidence, read(evidence))


def place(truth, name, kind="pixels"):
    return truth[kind][:, list(truth["names"]).index(name)]


def within(shown, pixels):
    """Where the points of a frame lie in its box, as shares of its width and height."""
    return (pixels[shown.frame] - (shown.box.u, shown.box.v)) / (shown.box.width, shown.box.height)


def thigh_px_per_m(shown, pixels, metres, names):
    """The scale that the renderer drew: the right thigh in pixels, and in metres."""
    ends = [list(names).index(n) for n in ("right_hip", "right_knee")]
    seen, true = (np.linalg.norm(np.diff(k[shown.frame][ends], axis=0)) for k in (pixels, metres))
    return seen / true


def test_the_frames_are_those_of_the_tagged_events_and_no_others(sheet):
    run, shown = sheet.run, strip_of(sheet).frames
    start = [run.start.first_movement, run.start.rear_toe_off, run.start.front_toe_off]
    tagged = start + [f for fall in run.footfalls for f in (fall.touchdown, fall.toe_off) if f is not None]
    assert [f.frame for f in shown] == sorted(tagged)
    by_frame = {f.frame: f for f in shown}
    for n, fall in enumerate(run.footfalls, start=1):
        assert by_frame[fall.touchdown].moment == Moment(EventKind.TOUCHDOWN, n)
        assert by_frame[fall.touchdown].side is fall.side


def test_every_frame_holds_the_whole_body_at_one_scale_with_the_ground_at_one_height(sheet, truth):
    strip = strip_of(sheet)
    boxes = np.array([(f.box.u, f.box.v, f.box.width, f.box.height) for f in strip.frames])
    assert np.ptp(boxes[:, 2] / boxes[:, 3]) < 1e-9
    for shown in strip.frames:
        inside = within(shown, truth["pixels"])
        assert ((inside > 0) & (inside < 1)).all()
        # a thigh that turns out of the plane by 20 degrees is 6 % shorter in the picture; the camera stands
        # 15 m away, the hip 9 cm off the plane
        scale = thigh_px_per_m(shown, truth["pixels"], truth["metres"], truth["names"])
        assert scale == pytest.approx(shown.box.height / strip.height_m, rel=0.07)
    # the shoe that stands is at the same height of every touchdown: its tip is within 3 cm of the ground
    tips = [
        (place(truth, f"{s.side.value}_toe")[s.frame][1] - s.box.v) / s.box.height * strip.height_m
        for s in strip.frames
        if s.moment.kind is EventKind.TOUCHDOWN
    ]
    assert np.ptp(tips) < 0.06


def test_a_camera_that_pans_keeps_the_scale():
    """Where every frame looks is the renderer's own, so that nothing has to be followed."""
    scenario = drawn(37, 60, "right", "panning")
    film = Film(replace(scenario, picture=replace(scenario.picture, frames=150)))
    with np.errstate(divide="ignore"):  # marks beyond the film's end are never passed
        made = truth_of(film)
    run = read_sheet(made.sheet, Path())
    evidence = Evidence(run.run, run.facts, run.athlete, path_of(film.cameras))
    strip = strip_of(evidence)
    names, pixels, metres = (made.arrays[k] for k in ("names", "pixels", "metres"))
    assert len(strip.frames) > 8
    for shown in strip.frames:
        inside = within(shown, pixels)
        assert ((inside > 0) & (inside < 1)).all()
        scale = thigh_px_per_m(shown, pixels, metres, names)
        assert scale == pytest.approx(shown.box.height / strip.height_m, rel=0.07)


def path_of(cameras):
    """The map of every frame to the first one, from where the cameras have four far places."""
    far = np.array([(-5.0, 0.0, -40.0), (25.0, 0.0, -40.0), (25.0, 12.0, -40.0), (-5.0, 12.0, -40.0)])
    maps = [cv2.findHomography(c.project(far), cameras[0].project(far))[0] for c in cameras]
    return CameraPath(
        CameraKind.TURNING, FrameNumber(0), FrameNumber(0), np.array(maps), np.full(len(maps), 0.1)
    )


def test_without_marks_all_frames_show_equally_many_pixels_and_hold_the_body(sheet, truth):
    points = [
        BodyPoint(FrameNumber(f), str(n), *truth["pixels"][f][k])
        for fall in sheet.run.footfalls[:3]
        for f in (fall.touchdown, fall.toe_off)
        for k, n in enumerate(truth["names"])
    ]
    bare = replace(sheet, run=replace(sheet.run, marks=(), points=tuple(points), lines=()), athlete=None)
    strip = strip_of(bare)
    assert strip.width_m is None
    assert strip.height_m is None
    assert len({(f.box.width, f.box.height) for f in strip.frames}) == 1
    placed = {p.frame for p in points}
    assert len(placed & {f.frame for f in strip.frames}) == 6
    for shown in strip.frames:
        inside = within(shown, truth["pixels"])
        assert shown.frame not in placed or ((inside > 0) & (inside < 1)).all()


def test_far_from_any_placed_point_an_event_is_named_and_not_shown(sheet):
    placed = tuple(p for p in sheet.run.points if p.frame == 274)
    few = replace(sheet, run=replace(sheet.run, points=placed, lines=()))
    strip = strip_of(few)
    # touchdown 2 at frame 274 of 240 a second; 0.1 s on either side reach the toe-off before it
    assert [f.frame for f in strip.frames] == [260, 274]
    assert strip.missing[0] == "Set position"
    assert "2 R toe-off" in strip.missing
    assert "1 L toe-off" not in strip.missing


def test_without_events_or_points_it_says_what_to_do(sheet):
    bare = replace(sheet.run, footfalls=(), start=StartPush())
    nothing = strip_of(replace(sheet, run=bare))
    assert not nothing.frames
    assert "Tag first movement, touchdowns and toe-offs" in nothing.reason
    unplaced = strip_of(replace(sheet, run=replace(sheet.run, points=(), lines=())))
    assert not unplaced.frames
    assert "Place hips" in unplaced.reason


def test_an_event_past_the_end_of_the_film_is_left_out(sheet):
    beyond = Footfall("late", sheet.run.footfalls[-1].side.other, FrameNumber(5000), None)
    run = replace(sheet.run, footfalls=(*sheet.run.footfalls, beyond))
    assert all(f.frame < 720 for f in strip_of(replace(sheet, run=run)).frames)


def test_lines_are_on_and_marks_are_not(sheet):
    touchdown = next(f for f in strip_of(sheet).frames if f.frame == 215)
    assert {s.kind for s in touchdown.scene.strokes} == {Kind.LINE}
    assert {d.kind for d in touchdown.scene.dots} == {Kind.POINT}
    assert all(d.look is Look.PLACED for d in touchdown.scene.dots)
    assert [row.measure for row in touchdown.angles] == ["trunk_deg", "shin_deg"]
