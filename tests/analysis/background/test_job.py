"""The work beside: started, watched, stopped, and what it says when it fails."""

import json
from dataclasses import replace

import numpy as np
import pytest

from analysis.background import follow_background
from analysis.background.saving import load_path, save_path
from analysis.cli import main
from analysis.jobs.background import BackgroundJob
from analysis.jobs.child import JobState
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.errors import FilmError
from analysis.values.film import FrameNumber

LENS = Lens(-0.11, 544.0, (319.5, 179.5), 0.002)


@pytest.fixture
def start():
    jobs = []

    def begun(*what, **more):
        jobs.append(BackgroundJob(*what, **more))
        return jobs[-1]

    yield begun
    for job in jobs:
        job.close()


def ended(job):
    """Wait for the child itself."""
    job._process.wait(timeout=120)
    return job.poll()


def test_a_job_gives_the_path_that_following_here_gives(start, handheld):
    job = start(handheld.film.path, 2, 12)
    assert ended(job) is JobState.DONE
    assert job.progress == 1
    assert job.result() == follow_background(handheld.film, 2, 12)


def test_a_job_frees_the_pictures_from_the_lens_and_the_path_says_so(start, handheld):
    job = start(handheld.film.path, 2, 12, lens=LENS)
    assert ended(job) is JobState.DONE
    assert job.result().lens == LENS
    assert job.result() == follow_background(handheld.film, 2, 12, lens=LENS)


def test_a_job_that_was_cancelled_says_so_and_leaves_nothing(start, panning):
    job = start(panning.film.path)
    folder = job._found.parent
    with pytest.raises(FilmError, match="still being followed"):
        job.result()
    job.cancel()
    assert job.poll() is JobState.CANCELLED
    with pytest.raises(FilmError, match="stopped"):
        job.result()
    job.close()
    job.close()
    assert job._process.returncode is not None
    assert not folder.exists()


def test_a_job_without_its_film_gives_the_sentence(start, tmp_path):
    job = start(tmp_path / "gone.mp4")
    assert ended(job) is JobState.FAILED
    with pytest.raises(FilmError, match=r"gone\.mp4"):
        job.result()


def test_a_job_whose_process_dies_is_said(start, panning):
    job = start(panning.film.path)
    job._process.kill()
    assert ended(job) is JobState.FAILED
    with pytest.raises(FilmError, match="Try again"):
        job.result()


def test_a_path_comes_back_from_its_file_as_it_was(tmp_path):
    path = CameraPath(
        CameraKind.TURNING, FrameNumber(7), FrameNumber(3), np.random.default_rng(1).normal(size=(5, 3, 3)),
        np.array([0.1, 0.2, np.inf, 0.3, 0.1]), 1.25,
    )  # fmt: skip
    for one in (path, replace(path, lens=LENS)):
        save_path(one, tmp_path / "path.npz")
        assert load_path(tmp_path / "path.npz") == one
    assert replace(path, lens=LENS) != path
    assert [file.name for file in tmp_path.iterdir()] == ["path.npz"]


def test_the_command_says_how_the_camera_moved(handheld, capfdbinary):
    assert main(["background", handheld.film.path, "--last", "9"]) == 0
    said = json.loads(capfdbinary.readouterr().out)
    assert said["kind"] == "turning"
    assert (said["first"], said["last"], said["frames_tied"], said["frames_lost"]) == (0, 9, 10, 0)
    assert "followed to" in said["notes"][0]


def test_the_command_takes_the_lens_of_a_run_sheet(handheld, tmp_path, capfdbinary):
    lens = {"k1": LENS.k1, "focal_px": LENS.focal_px, "centre": list(LENS.centre)}
    film = {"times_s": [0.0, 0.1], "width": 640, "height": 360}
    for name, camera in (("bent.json", {"lens": lens}), ("plain.json", {})):
        sheet = {"format": "cinderlane run sheet", "version": 1, "film": film, "camera": camera}
        (tmp_path / name).write_text(json.dumps(sheet))
    assert main(["background", handheld.film.path, "--last", "9", "--lens", str(tmp_path / "bent.json")]) == 0
    bent = json.loads(capfdbinary.readouterr().out)
    found = follow_background(handheld.film, 0, 9, lens=replace(LENS, k1_u=0.0))
    assert bent["error_px_worst"] == pytest.approx(float(found.error_px.max()), abs=1e-3)
    plain = str(tmp_path / "plain.json")
    assert main(["background", handheld.film.path, "--last", "9", "--lens", plain]) == 2
    assert "holds no lens" in capfdbinary.readouterr().err.decode()
