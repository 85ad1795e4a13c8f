"""What a project keeps of followed points, as window and command line ask for it."""

from dataclasses import replace

import pytest

from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.jobs.evidence import evidence_of_run
from analysis.jobs.tracks import kept_tracks
from analysis.reading import read
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.film import FrameNumber
from analysis.values.project import bare
from analysis.values.run import BodyPoint, Direction
from tests.helpers.films import project_on, small_film

POINTS = [
    BodyPoint(FrameNumber(f), name, 150.0 + f, v)
    for f in (100, 109)
    for name, v in (("left_hip", 60.0), ("left_knee", 90.0))
]


@pytest.fixture
def project(tmp_path):
    """A project whose run has points on two frames, followed between them."""
    film = small_film(tmp_path / "rep.mp4", 300)
    path = project_on(film)
    with ProjectFile.open(path) as file:
        run = next(iter(file.project.runs.values()))
        gone = [Change(Kind.POINT, p.id, p, None, run.id) for p in run.points]
        file.commit(Command("", (*gone, *(Change(Kind.POINT, p.id, None, p, run.id) for p in POINTS))))
        file.keep_tracks(run.id, follow_points(open_film(film), POINTS, 100, 109))
    return path


def test_the_command_line_reads_with_the_followed_points(project):
    evidence, _ = evidence_of_run(project, None)
    assert evidence.tracks is not None
    assert len(evidence.tracks) == 10
    assert read(evidence).series != read(replace(evidence, tracks=None)).series


def test_a_point_placed_since_leaves_what_lies_around_it_out_and_says_so(project):
    with ProjectFile.open(project) as file:
        run = next(iter(file.project.runs.values()))
        new = BodyPoint(FrameNumber(105), "left_knee", 255.0, 90.0)
        file.commit(Command("", (Change(Kind.POINT, new.id, None, new, run.id),)))
    evidence, _ = evidence_of_run(project, None)
    assert evidence.tracks.behind == (105,)
    assert evidence.tracks.point(104, "left_hip") is None
    assert evidence.tracks.point(100, "left_hip") is not None
    assert any("frames 105" in note and "only placed ones" in note for note in read(evidence).notes)


def test_another_direction_makes_them_outdated_and_says_so(project):
    with ProjectFile.open(project) as file:
        run = next(iter(file.project.runs.values()))
        turned = replace(bare(run), direction=Direction.LEFT)
        file.commit(Command("", (Change(Kind.RUN, run.id, bare(run), turned),)))
        entry = file.project.films[run.film_id]
        kept = kept_tracks(file, file.project.runs[run.id], entry.fingerprint, None)
        assert kept.outdated
        assert kept.tracks is None
    evidence, _ = evidence_of_run(project, None)
    assert any("Follow the points again" in note for note in read(evidence).notes)


def test_a_point_off_the_picture_is_left_out_and_said(project):
    with ProjectFile.open(project) as file:
        run = next(iter(file.project.runs.values()))
        lost = BodyPoint(FrameNumber(100), "head", -50.0, 90.0)
        file.commit(Command("", (Change(Kind.POINT, lost.id, None, lost, run.id),)))
    evidence, _ = evidence_of_run(project, None)
    reading = read(evidence)
    assert any("head on frame 100 lies off the picture" in note for note in reading.notes)
    without = replace(evidence.run, points=tuple(p for p in evidence.run.points if p.name != "head"))
    assert reading.posture == read(replace(evidence, run=without)).posture
