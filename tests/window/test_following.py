"""Followed points in the real window: one key begins it, a correction mends its stretch, doubts are walked.

Where points lie is the renderer's truth beside the sample clip.
"""

import shutil
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt

from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.jobs.evidence import evidence_of_run
from analysis.reading import read
from analysis.report.scene import Look
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.tracks import Standing
from tests.helpers.clip_truth import SAMPLES, ClipTruth
from tests.helpers.films import project_on

LEFT = Qt.MouseButton.LeftButton
LEG = ("right_hip", "right_knee", "right_ankle", "right_heel", "right_toe", "left_knee", "left_ankle")
FRAMES = (100, 112, 124, 136)
NEAR_PX = 6.0  # a body of 130 px, points clicked without error on every 12th frame


TRUTH = ClipTruth("wing_day2")
POINTS = tuple(TRUTH.point(f, n) for f in FRAMES for n in LEG)


@pytest.fixture
def project(tmp_path):
    """The sample clip, a leg and a half placed on every 12th frame of a stretch."""
    film = Path(shutil.copy(SAMPLES / "wing_day2.mp4", tmp_path / "wing.mp4"))
    path = project_on(film)
    with ProjectFile.open(path) as file:
        run = next(iter(file.project.runs.values()))
        gone = [Change(Kind.POINT, p.id, p, None, run.id) for p in run.points]
        new = [Change(Kind.POINT, p.id, None, p, run.id) for p in POINTS]
        file.commit(Command("", (*gone, *new)))
    return path


@pytest.fixture
def legs(coach, window, project):
    """A coach in front of it."""
    assert window.open_path(project)
    coach.wait_for(20)
    return coach


@pytest.fixture(scope="module")
def tracks():
    """What following these points gives, made once."""
    return follow_points(open_film(SAMPLES / "wing_day2.mp4"), POINTS, FRAMES[0], FRAMES[-1])


@pytest.fixture
def followed(coach, window, project, tracks):
    """A coach who opens a project in which they were followed the day before."""
    with ProjectFile.open(project) as file:
        file.keep_tracks(next(iter(file.project.runs)), tracks)
    assert window.open_path(project)
    coach.wait_for(20)
    assert coach.bench.tracks == tracks
    return coach


def wait(coach):
    coach.qtbot.waitUntil(lambda: coach.workspace.follow.settled)


def looks_on(coach, frame):
    coach.go_to(frame)
    return {dot.id.partition(":")[2]: dot.look for dot in coach.view._scene.dots if dot.kind is Kind.POINT}


def test_one_key_follows_the_points_near_to_the_truth_and_draws_them_as_followed(legs):
    bar = legs.workspace.follow.bar
    assert bar.isVisible()
    assert "4 frames" in bar.words.text()
    legs.press("Ctrl+F")
    assert legs.workspace.follow.busy
    assert bar.cancel.isVisible()
    wait(legs)
    assert "through 37 frames" in legs.notice
    tracks = legs.bench.tracks
    truth = np.array([[TRUTH.place(f, n) for n in tracks.names] for f in range(100, 137)])
    near = [n for n, name in enumerate(tracks.names) if name.startswith("right")]
    off = np.linalg.norm(tracks.places - truth, axis=2)[:, near]
    assert np.percentile(off, 90) < NEAR_PX
    assert set(looks_on(legs, 112).values()) == {Look.PLACED}
    assert looks_on(legs, 106)["right_knee"] is Look.FOLLOWED
    series = {(s.measure, s.side): s for s in legs.bench.reading.series}
    assert len(series["shin_deg", "right"].frames) == 37


def test_window_and_command_line_read_the_same(followed):
    evidence, _ = evidence_of_run(followed.bench.path, None)
    assert evidence.tracks == followed.bench.tracks
    reading = read(evidence)
    assert reading.posture == followed.bench.reading.posture
    assert reading.notes == followed.bench.reading.notes


def test_a_correction_is_followed_anew_by_itself_and_leaves_the_rest(followed):
    before = followed.bench.tracks
    followed.go_to(118)
    followed.zoom_to(*TRUTH.place(118, "right_knee"), 3.0)
    start = before.point(118, "right_knee")
    followed.drag((start.u, start.v), (start.u + 4.0, start.v))
    assert followed.bench.tracks.behind == (118,)
    assert followed.bench.tracks.point(117, "right_hip") is None
    assert followed.bench.tracks.point(105, "right_hip") is not None
    wait(followed)
    after = followed.bench.tracks
    assert after.behind == ()
    assert np.array_equal(after.places[:12], before.places[:12])
    assert after.standing[18, after.names.index("right_knee")] == Standing.PLACED
    assert after.point(117, "right_knee").u > before.point(117, "right_knee").u + 1.0
    followed.press("Ctrl+Z")
    assert followed.bench.tracks == before  # what was followed from these very points is found again
    assert followed.workspace.follow.settled


def test_a_followed_point_is_not_deleted_and_it_is_said_why(followed):
    followed.go_to(118)
    point = followed.bench.tracks.point(118, "right_knee")
    followed.zoom_to(point.u, point.v, 3.0)
    followed.press("Esc")  # the keys go to the picture
    followed.click(point.u, point.v)
    followed.press("Del")
    assert "followed, not placed" in followed.notice
    assert followed.bench.tracks.point(118, "right_knee") is not None


def test_following_can_be_stopped_and_says_so(legs):
    legs.press("Ctrl+F")
    legs.qtbot.mouseClick(legs.workspace.follow.bar.cancel, LEFT)
    assert not legs.workspace.follow.busy
    assert "stopped" in legs.notice
    assert legs.bench.tracks is None


def test_points_on_one_frame_are_not_followed_and_it_is_said(marked):
    marked.press("Ctrl+F")
    assert not marked.workspace.follow.busy
    assert "two first" in marked.notice


def test_another_direction_asks_to_follow_again(followed):
    followed.window.actions_table["run_left"].trigger()
    assert followed.bench.tracks is None
    assert "again" in followed.workspace.follow.bar.words.text()
    assert any("Follow the points again" in note for note in followed.bench.reading.notes)
    followed.press("Ctrl+Z")
    assert followed.bench.tracks is not None


def test_doubtful_points_are_walked_by_one_key_and_said_to_be_right_by_another(followed):
    """A point placed 30 px off makes its neighbours doubtful."""
    followed.go_to(124)
    followed.zoom_to(*TRUTH.place(124, "right_ankle"), 3.0)
    u, v = TRUTH.place(124, "right_ankle")
    followed.drag((u, v), (u + 30.0, v))
    wait(followed)
    doubts = followed.workspace.follow.doubts
    assert doubts
    assert followed.workspace.follow.bar.next.isVisible()
    followed.go_to(100)
    followed.press("Shift+D")
    first = doubts[0]
    followed.wait_for(first.frame)
    assert first.sentence in followed.workspace.follow.bar.words.text()
    slipped = next(d for d in doubts if d.followed)
    while followed.bench.frame != slipped.frame:
        followed.press("Shift+D")
        followed.wait_for_picture()
    assert followed.bench.selected.id == f"{slipped.frame}:{slipped.name}"
    followed.press("Shift+R")
    assert followed.bench.run.point(slipped.frame, slipped.name) is not None
    wait(followed)
    assert (slipped.frame, slipped.name) not in {(d.frame, d.name) for d in followed.workspace.follow.doubts}


def test_the_bar_neither_comes_nor_goes_while_points_are_placed(legs):
    bar = legs.workspace.follow.bar
    legs.qtbot.mouseClick(bar.close_words, LEFT)
    assert not bar.isVisible()
    legs.press("Ctrl+F")
    wait(legs)
    legs.go_to(118)
    legs.press("Shift+B")
    shown = bar.isVisible()
    legs.click(*TRUTH.place(118, "head"))
    assert bar.isVisible() is shown
    legs.press("Esc")
    assert bar.isVisible()
    assert "not followed yet" in bar.words.text()


def test_a_placed_point_that_looks_wrong_may_be_called_right(legs):
    """The knee of a placed frame is dragged up so far that the shin doubles; the coach leaves it there."""
    legs.go_to(124)
    legs.zoom_to(*TRUTH.place(124, "right_knee"), 3.0)
    (u, v), (ankle_u, ankle_v) = TRUTH.place(124, "right_knee"), TRUTH.place(124, "right_ankle")
    legs.drag((u, v), (2 * u - ankle_u, 2 * v - ankle_v))
    desk = legs.workspace.follow
    legs.qtbot.mouseClick(desk.bar.close_words, LEFT)  # not followed now
    placed = [d for d in desk.doubts if not d.followed]
    assert placed
    while desk.doubts and not desk.doubts[0].followed:
        doubt = desk.doubts[0]
        legs.press("Home")
        legs.wait_for_picture()
        legs.press("Shift+D")
        legs.wait_for(doubt.frame)
        assert desk.bar.right.isVisible()
        legs.press("Shift+R")
        assert doubt not in desk.doubts
    assert any(placed[0].sentence in note for note in legs.bench.reading.notes)
    legs.go_to(124)
    legs.drag((2 * u - ankle_u, 2 * v - ankle_v), (2 * u - ankle_u, 2 * v - ankle_v - 8))
    assert any(not d.followed for d in desk.doubts)
