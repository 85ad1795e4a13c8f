"""A still camera's film is gone through once; one that moves is told on the way. Pictures made by hand."""

import json
from contextlib import suppress
from pathlib import Path

import cv2
import numpy as np
import pytest
from scipy.linalg import eigh

from analysis.derive.footfalls import draft, draft_footfalls
from analysis.derive.footfalls.body import passing
from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.cutting import Band, BandPlace
from analysis.derive.footfalls.still_so_far import CameraMovesError, StillSoFar
from analysis.derive.footfalls.thin import Thin
from analysis.derive.footfalls.tint import _LEAST_SPREAD, _weights
from analysis.film import open_film
from analysis.values.camera import CameraKind
from tests.analysis.derive.footfalls.conftest import as_marks
from tests.helpers.hard_runs import write_frames

FRAMES, SHIFTED_FROM = 48, 30


@pytest.fixture(scope="module")
def scene():
    fine = np.random.default_rng(3).uniform(30, 220, (180, 400)).astype(np.float32)
    return cv2.GaussianBlur(fine, (0, 0), 2.0).astype(np.uint8)


@pytest.fixture(scope="module")
def film(scene, tmp_path_factory):
    frames = [np.repeat(scene[:, :320, None], 3, axis=2)] * FRAMES
    return open_film(write_frames(tmp_path_factory.mktemp("still") / "f.mp4", frames))


def test_a_camera_that_stands_is_told_so_at_the_end(film, scene):
    still = StillSoFar(film)
    for number in range(FRAMES):
        still.look(number, scene[:, :320])
    path = still.path(None)
    assert path.kind is CameraKind.STILL
    assert path.maps.shape == (FRAMES, 3, 3)
    assert path.error_px.max() < 0.1


def test_one_that_shifts_is_told_at_the_next_look(film, scene):
    still = StillSoFar(film)
    for number in range(SHIFTED_FROM):
        still.look(number, scene[:, :320])
    told = SHIFTED_FROM + FRAMES // 11
    for number in range(SHIFTED_FROM, told):
        with suppress(CameraMovesError):
            still.look(number, scene[:, 3:323])
            continue
        return
    pytest.fail("the shift was not told")


def test_of_one_frame_nothing_is_known(film, scene):
    still = StillSoFar(film)
    still.look(0, scene[:, :320])
    with pytest.raises(CameraMovesError):
        still.path(None)


@pytest.mark.parametrize("with_marks", [False, True])
def test_a_still_cameras_film_is_decoded_once(films, drawn, with_marks, monkeypatch):
    gone, through = [], draft.go_through

    def count(*given, **more):
        gone.append(given)
        return through(*given, **more)

    def follow(*_, **__):
        raise AssertionError("the background was followed")

    monkeypatch.setattr(draft, "go_through", count)
    monkeypatch.setattr(draft, "follow_background", follow)
    found = draft_footfalls(open_film(films["plain"]), as_marks(drawn[1].marks) if with_marks else None)
    assert len(gone) == 1
    assert found.footfalls


def test_a_thin_film_has_every_third_frame_and_every_second_pixel():
    pictures = np.arange(7 * 9 * 12, dtype=np.uint8).reshape(7, 9, 12)
    tints = np.zeros((7, 5, 6, 2), np.uint8)
    thin = Thin(3, 2)
    band = thin.band(Band(BandPlace(0.1, 50.0, 6, 3), pictures, tints))
    assert (band.pictures == pictures[::3, ::2, ::2]).all()
    assert band.tints.shape == (3, 3, 3, 2)
    sees = np.tile([2.0, 9.0], (7, 1))
    sees[3] = (1.0, 0.0)  # sees nothing
    assert thin.canvas(Canvas(0, 12, 9, None, sees)).sees.tolist() == [[1.0, 4.5], [1.0, 0.0], [1.0, 4.5]]


def test_without_marks_the_ground_line_is_where_the_rendered_runner_stands():
    """Of the renderer's own marks, in a film of which half the pixels tell first where about that is."""
    samples = Path(__file__).resolve().parents[4] / "sample_clips"
    strip = draft_footfalls(open_film(samples / "wing_day1.mp4")).strip
    marks = json.loads((samples / "wing_day1.json").read_text(encoding="utf-8"))["marks"]
    for mark in (one for one in marks if one["y_m"] == 0):
        # 6 cm: the near foot stands in front of the line, and its lower edge is soft
        assert strip.pixel(0, mark["u"])[1] == pytest.approx(mark["v"], abs=5.0)


def test_what_always_moves_is_numpys_quantile_of_each_column():
    chance = np.random.default_rng(4)
    columns = chance.gamma(2.0, 6.0, (60, 24)).round()
    valid = np.repeat((chance.random((60, 1, 24)) < 0.5), 5, axis=1)
    valid[:, :, 20:] = False
    seen = valid.any(axis=1)
    always = [np.quantile(columns[s, n], 0.6) if s.sum() >= 10 else 0.0 for n, s in enumerate(seen.T)]
    wide = np.max([np.roll(np.pad(always, 2), by)[2:-2] for by in range(-2, 3)], axis=0)
    assert passing(columns, valid) == pytest.approx(np.maximum(columns - 1.5 * wide, 0.0), abs=1e-4)


def test_the_mix_of_colours_is_scipys_foremost_direction():
    chance = np.random.default_rng(5)
    bare = chance.normal(0, 1, (4000, 3)) @ np.array([[6.0, 2, 0], [0, 1.5, 0.5], [0, 0, 1.0]])
    foot = chance.normal(0, 1, (900, 3)) + np.array([9.0, 14.0, -12.0])
    spread = np.cov(bare.T) + _LEAST_SPREAD**2 * np.eye(3)
    best = eigh(foot.T @ foot / len(foot), spread)[1][:, -1]
    found = _weights(bare, foot)
    cosine = found @ best / np.linalg.norm(found) / np.linalg.norm(best)
    assert abs(cosine) == pytest.approx(1.0, abs=1e-3)  # some of the foot's pixels may count as ground
