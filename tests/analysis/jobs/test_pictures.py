"""Pictures of a few frames, taken by a process of its own, against those of the frame reader."""

import os
import sys
import time

import cv2
import numpy as np
import pytest

from analysis.film import open_film
from analysis.film.reader import FrameReader
from analysis.jobs.child import JobState
from analysis.jobs.pictures import PicturesJob
from analysis.values.errors import FilmError
from tests.helpers.films import small_film


@pytest.fixture(scope="module")
def film(tmp_path_factory):
    return small_film(tmp_path_factory.mktemp("film") / "clip.mp4")


def awaited(job):
    ends = time.monotonic() + 60
    while job.poll() in (JobState.WAITING, JobState.RUNNING) and time.monotonic() < ends:
        pass
    return job


@pytest.mark.skipif(sys.platform == "win32", reason="there the class of priority is said at the start")
def test_it_has_the_lowest_priority_from_its_first_moment(film):
    """19 is the least favourable (POSIX.1-2024, setpriority; getpriority(2))."""
    job = PicturesJob(film, [3])
    assert os.getpriority(os.PRIO_PROCESS, job._process.pid) == 19
    job.close()


def test_the_pictures_are_those_of_the_frames_asked_for(film):
    job = awaited(PicturesJob(film, [250, 3, 90, 90]))
    found = job.result()
    job.close()
    assert job.progress == 1.0
    assert sorted(found) == [3, 90, 250]
    with FrameReader(open_film(film)) as reader:
        for frame, jpeg in found.items():
            shown = cv2.imdecode(np.frombuffer(jpeg, np.uint8), cv2.IMREAD_COLOR).astype(int)
            there = [np.abs(shown - reader.picture(f)[..., :3]).mean() for f in (frame, frame - 2, frame + 2)]
            assert there[0] < 4.0
            assert there[0] == min(there)


def test_a_film_that_is_gone_is_said(tmp_path):
    job = awaited(PicturesJob(tmp_path / "gone.mp4", [1]))
    with pytest.raises(FilmError):
        job.result()
    job.close()


def test_one_works_at_a_time_and_the_others_in_the_order_they_came(film):
    """Beside the film on show there is one processor for them (2 in all)."""
    first, second, third = (PicturesJob(film, [frame]) for frame in (3, 90, 200))
    assert [job.poll() for job in (first, second, third)] == [JobState.RUNNING, *2 * [JobState.WAITING]]
    with pytest.raises(FilmError):
        second.result()
    second.cancel()
    assert second.poll() is JobState.CANCELLED
    awaited(first)
    assert third.poll() is JobState.RUNNING
    first.close()
    assert list(awaited(third).result()) == [200]
    for job in (second, third):
        job.close()


def test_one_that_is_closed_lets_the_next_begin(film):
    first, second = (PicturesJob(film, [frame]) for frame in (3, 90))
    first.close()
    assert second.poll() is JobState.RUNNING
    second.close()
