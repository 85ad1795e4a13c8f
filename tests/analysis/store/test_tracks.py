"""Followed points are kept beside the edits, by what they were made from."""

import sqlite3

import numpy as np
import pytest

from analysis.store import ProjectFile
from analysis.store.track_rows import KEPT
from analysis.values.errors import ProjectError
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from analysis.values.tracks import Standing, Tracks
from analysis.values.tracks_file import packed, unpacked


def _tracks(key, frames=4):
    random = np.random.default_rng(frames)
    return Tracks(
        key,
        FrameNumber(7),
        ("left_hip", "left_toe"),
        random.normal(400, 50, (frames, 2, 2)),
        random.uniform(0.5, 3.0, (frames, 2)),
        np.full((frames, 2), Standing.FOLLOWED, dtype=np.uint8),
        np.array([12.0, 5.0]),
        (
            BodyPoint(FrameNumber(7), "left_hip", 400.1, 1 / 3),
            BodyPoint(FrameNumber(9), "left_toe", 1.0, 2.0),
        ),
    )


def _same(a, b):
    arrays = ("places", "u_px", "standing", "memory")
    assert (a.key, a.first, a.names, a.placed) == (b.key, b.first, b.names, b.placed)
    assert all(np.array_equal(getattr(a, name), getattr(b, name)) for name in arrays)


def test_tracks_come_back_exactly_after_closing(project_path):
    kept = _tracks("k")
    with ProjectFile.open(project_path) as file:
        file.keep_tracks("r", kept)
        _same(file.tracks("k"), kept)
    with ProjectFile.open(project_path) as file:
        _same(file.tracks("k"), kept)
        _same(file.latest_tracks("r"), kept)
        assert file.tracks("another") is None
        assert file.latest_tracks("another") is None


def test_the_oldest_of_a_run_go_and_those_of_another_stay(project_path):
    with ProjectFile.open(project_path) as file:
        file.keep_tracks("other", _tracks("theirs"))
        for n in range(KEPT + 2):
            file.keep_tracks("r", _tracks(f"k{n}", n + 2))
        file.keep_tracks("r", _tracks("k3", 9))
        assert [file.tracks(f"k{n}") is not None for n in range(KEPT + 2)] == [False, False] + [True] * KEPT
        assert len(file.tracks("k3")) == 9
        assert file.latest_tracks("r").key == "k3"
        assert file.tracks("theirs") is not None


def test_content_that_is_no_tracks_counts_as_not_followed(project_path):
    with ProjectFile.open(project_path) as file:
        file.keep_tracks("r", _tracks("k"))
    connection = sqlite3.connect(project_path)
    connection.execute("UPDATE tracks SET content = x'504b0304'")
    connection.commit()
    connection.close()
    with ProjectFile.open(project_path) as file:
        assert file.tracks("k") is None
        assert file.latest_tracks("r") is None


def test_a_write_protected_project_keeps_no_tracks(project_path, monkeypatch):
    monkeypatch.setattr("analysis.store.connecting.writable", lambda path: False)
    with ProjectFile.open(project_path) as file, pytest.raises(ProjectError, match="protected"):
        file.keep_tracks("r", _tracks("k"))


@pytest.mark.parametrize("cut", [0, 1, 30, 200, -40, -1])
def test_cut_bytes_are_no_tracks(cut):
    with pytest.raises(ValueError, match=r".*"):
        unpacked(packed(_tracks("k"))[:cut])


def test_a_film_s_last_draft_stands_beside_the_tracks(project_path):
    with ProjectFile.open(project_path) as file:
        file.keep_tracks("film", _tracks("k"))
        file.keep_draft("film", "first", b"one")
        file.keep_draft("film", "second", b"two")
        assert file.latest_tracks("film").key == "k"
    with ProjectFile.open(project_path) as file:
        assert file.latest_draft("film") == ("second", b"two")
        assert file.latest_draft("another") is None
