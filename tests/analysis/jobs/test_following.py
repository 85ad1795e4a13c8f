"""The work beside: the same tracks as here, faults in words, and a stop that stops."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.jobs.child import JobState
from analysis.jobs.following import FollowingJob, load_tracks
from analysis.values.errors import FilmError
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks_file import write_tracks
from tests.analysis.film.making import Kind, make


@pytest.fixture(scope="module")
def film(tmp_path_factory):
    return make(tmp_path_factory.mktemp("film") / "small.mp4", Kind(frames=12, rate=240, size=(320, 180)))


POINTS = [
    BodyPoint(FrameNumber(f), name, 150.0 + f, v)
    for f in (0, 9)
    for name, v in (("left_hip", 60.0), ("left_knee", 90.0))
]


def ended(job):
    """The job's state once it has ended."""
    job._process.wait(60)
    return job.poll()


def test_a_job_gives_the_same_tracks_as_following_here(film):
    here = follow_points(open_film(film), POINTS, 0, 9, Direction.LEFT)
    job = FollowingJob(film, POINTS, 0, 9, Direction.LEFT)
    try:
        assert ended(job) is JobState.DONE
        assert job.progress == 1.0
        found = job.result()
    finally:
        job.close()
    assert found == here
    assert np.array_equal(found.places, here.places)
    assert np.array_equal(found.standing, here.standing)


def test_a_film_of_five_frames_is_followed_from_its_first_to_its_last(tmp_path):
    film = make(tmp_path / "five.mp4", Kind(frames=5, rate=240, size=(320, 180)))
    points = [replace(p, frame=FrameNumber(0 if p.frame == 0 else 4)) for p in POINTS]
    tracks = follow_points(open_film(film), points, 0, 4)
    assert len(tracks) == 5
    assert all(tracks.point(f, "left_knee") is not None for f in range(5))


def test_a_fault_comes_in_the_words_of_the_program(film):
    job = FollowingJob(film, [], 0, 9, Direction.LEFT)
    try:
        assert ended(job) is JobState.FAILED
        with pytest.raises(FilmError, match="No body point"):
            job.result()
    finally:
        job.close()


def test_a_stopped_job_has_no_tracks(film):
    job = FollowingJob(film, POINTS, 0, 9, Direction.LEFT)
    job.cancel()
    assert job.poll() is JobState.CANCELLED
    with pytest.raises(FilmError, match="stopped"):
        job.result()
    job.close()
    job.close()


def test_tracks_come_back_from_their_file(film, tmp_path):
    made = follow_points(open_film(film), POINTS, 0, 9)
    write_tracks(made, tmp_path / "tracks.npz")
    found = load_tracks(tmp_path / "tracks.npz")
    assert found == made
    assert found.names == made.names
    assert np.array_equal(found.u_px, made.u_px)
    (tmp_path / "broken.npz").write_bytes(b"no tracks")
    with pytest.raises(FilmError, match="Follow them again"):
        load_tracks(tmp_path / "broken.npz")
