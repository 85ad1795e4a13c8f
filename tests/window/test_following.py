"""Followed points in the real window: one key begins it, a correction mends its stretch, doubts are walked.

Where points lie is the renderer's truth beside the sample clip.
"""

import shutil
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt

from analysis.jobs.evidence import evidence_of_run
from analysis.reading import read
from analysis.report.scene import Look
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from analysis.values.tracks import Standing
from tests.helpers.films import project_on

SAMPLES = Path(__file__).resolve().parents[2] / "sample_clips"
LEFT = Qt.MouseButton.LeftButton
LEG = ("right_hip", "right_knee", "right_ankle", "right_heel", "right_toe", "left_knee", "left_ankle")
FRAMES = (100, 112, 124, 136)
NEAR_PX = 6.0  # a body of 130 px, points clicked without error on every 12th frame


class Truth:
    def __init__(self):
        with np.load(SAMPLES / "wing_day2.truth.npz") as arrays:
            self.names, self.pixels = [str(n) for n in arrays["names"]], arrays["pixels"]

    def place(self, frame, name):
        u, v = self.pixels[frame, self.names.index(name)]
        return float(u), float(v)

    def point(self, frame, name):
        return BodyPoint(FrameNumber(frame), name, *self.place(frame, name))


TRUTH = Truth()


@pytest.fixture
def legs(coach, window, tmp_path):
    """A coach in front of the sample clip, a leg and a half placed on every 12th frame of a stretch."""
    film = Path(shutil.copy(SAMPLES / "wing_day2.mp4", tmp_path / "wing.mp4"))
    path = project_on(film)
    with ProjectFile.open(path) as file:
        run = next(iter(file.project.runs.values()))
        gone = [Change(Kind.POINT, p.id, p, None, run.id) for p in run.points]
        new = [TRUTH.point(f, n) for f in FRAMES for n in LEG]
        file.commit(Command("", (*gone, *(Change(Kind.POINT, p.id, None, p, run.id) for p in new))))
    assert window.open_path(path)
    coach.wait_for(20)
    return coach


def follow(coach):
    coach.press("Ctrl+F")
    wait(coach)
    assert coach.bench.tracks is not None


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


def test_window_and_command_line_read_the_same(legs):
    follow(legs)
    evidence, _ = evidence_of_run(legs.bench.path, None)
    assert evidence.tracks == legs.bench.tracks
    reading = read(evidence)
    assert reading.posture == legs.bench.reading.posture
    assert reading.notes == legs.bench.reading.notes


def test_a_correction_is_followed_anew_by_itself_and_leaves_the_rest(legs):
    follow(legs)
    before = legs.bench.tracks
    legs.go_to(118)
    legs.zoom_to(*TRUTH.place(118, "right_knee"), 3.0)
    start = before.point(118, "right_knee")
    legs.drag((start.u, start.v), (start.u + 4.0, start.v))
    assert legs.bench.tracks.behind == (118,)
    assert legs.bench.tracks.point(117, "right_hip") is None
    assert legs.bench.tracks.point(105, "right_hip") is not None
    wait(legs)
    after = legs.bench.tracks
    assert after.behind == ()
    assert np.array_equal(after.places[:12], before.places[:12])
    assert after.standing[18, after.names.index("right_knee")] == Standing.PLACED
    assert after.point(117, "right_knee").u > before.point(117, "right_knee").u + 1.0
    legs.press("Ctrl+Z")
    assert legs.bench.tracks == before  # what was followed from these very points is found again
    assert legs.workspace.follow.settled


def test_a_followed_point_is_not_deleted_and_it_is_said_why(legs):
    follow(legs)
    legs.go_to(118)
    point = legs.bench.tracks.point(118, "right_knee")
    legs.zoom_to(point.u, point.v, 3.0)
    legs.press("Esc")  # the keys go to the picture
    legs.click(point.u, point.v)
    legs.press("Del")
    assert "followed, not placed" in legs.notice
    assert legs.bench.tracks.point(118, "right_knee") is not None


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


def test_another_direction_asks_to_follow_again(legs):
    follow(legs)
    legs.window.actions_table["run_left"].trigger()
    assert legs.bench.tracks is None
    assert "again" in legs.workspace.follow.bar.words.text()
    assert any("Follow the points again" in note for note in legs.bench.reading.notes)
    legs.press("Ctrl+Z")
    assert legs.bench.tracks is not None


def test_doubtful_points_are_walked_by_one_key_and_said_to_be_right_by_another(legs):
    """A point placed 30 px off makes its neighbours doubtful."""
    follow(legs)
    legs.go_to(124)
    legs.zoom_to(*TRUTH.place(124, "right_ankle"), 3.0)
    u, v = TRUTH.place(124, "right_ankle")
    legs.drag((u, v), (u + 30.0, v))
    wait(legs)
    doubts = legs.workspace.follow.doubts
    assert doubts
    assert legs.workspace.follow.bar.next.isVisible()
    legs.go_to(100)
    legs.press("Shift+D")
    first = doubts[0]
    legs.wait_for(first.frame)
    assert first.sentence in legs.workspace.follow.bar.words.text()
    followed = next(d for d in doubts if d.followed)
    while legs.bench.frame != followed.frame:
        legs.press("Shift+D")
        legs.wait_for_picture()
    assert legs.bench.selected.id == f"{followed.frame}:{followed.name}"
    legs.press("Shift+R")
    assert legs.bench.run.point(followed.frame, followed.name) is not None
    wait(legs)
    assert (followed.frame, followed.name) not in {(d.frame, d.name) for d in legs.workspace.follow.doubts}


def test_the_bar_neither_comes_nor_goes_while_points_are_placed(legs):
    bar = legs.workspace.follow.bar
    legs.qtbot.mouseClick(bar.close_words, LEFT)
    assert not bar.isVisible()
    follow(legs)
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
