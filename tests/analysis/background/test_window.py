"""Films of a window that moved over a still camera's pictures, and of cameras that walk past a scene.

Where each window was is known: `tests/helpers/capsule_runs.py` and its kin, and a sample clip's pictures cut
out; none shares anything with what follows the background.
"""

from dataclasses import replace
from pathlib import Path

import av
import numpy as np
import pytest

from analysis.background import follow_background
from analysis.derive.footfalls import draft_footfalls
from analysis.film import open_film
from analysis.values.camera import CameraKind
from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark
from sample_clips.encode import write_film
from tests.helpers.capsule_runs import CapsuleFilm, drawn_run, events_of, write_run
from tests.helpers.meadow_runs import MeadowFilm
from tests.helpers.track_runs import TrackFilm
from tests.helpers.walked_runs import WalkedFilm, walked_run

CLIPS = Path(__file__).parents[3] / "sample_clips"
SPOTS = np.array([[40.0, 200.0, 1.0], [320.0, 250.0, 1.0], [600.0, 300.0, 1.0]])


def off_px(path, left):
    """How far each frame's map takes places from where the window's left edge ``left`` (n,) puts them."""
    there = np.einsum("nij,kj->nki", path.maps, SPOTS)
    moved = there[:, :, 0] / there[:, :, 2] - SPOTS[:, 0]
    return np.abs(moved - (left - left[path.reference])[:, None])


def followed(film):
    return follow_background(film, 0, film.frames - 1)


@pytest.mark.parametrize(
    ("figure", "seed", "direction", "noise"),
    [(CapsuleFilm, 65, "right", 4.0), (CapsuleFilm, 66, "left", 2.0), (MeadowFilm, 62, "left", 6.0),
     (TrackFilm, 63, "right", 3.0)],
)  # fmt: skip
def test_a_window_that_follows_a_runner_is_followed_to_a_pixel(figure, seed, direction, noise, tmp_path):
    run = replace(
        drawn_run(seed, 30.0, window=True, small=True, seconds=1.6, direction=direction), noise=noise
    )
    path = followed(open_film(write_run(run, tmp_path / "film.mp4", figure(run))))
    assert path.kind is CameraKind.TURNING
    way = 1.0 if direction == "right" else -1.0
    left = way * np.array([figure(run).camera_x(i / 30.0) * run.scale for i in range(run.frames)])
    off = off_px(path, left)
    assert np.ptp(left) > 80
    assert np.median(off) < 0.5
    assert off.max() < 2.0
    assert np.mean(off <= 2 * path.error_px[:, None]) > 0.95


@pytest.fixture(scope="module")
def still_pictures():
    """Every sixth picture of the first sample clip."""
    with av.open(str(CLIPS / "wing_day1.mp4")) as container:
        return [
            frame.to_ndarray(format="rgb24")
            for number, frame in enumerate(container.decode(video=0))
            if number % 6 == 0
        ]


@pytest.mark.parametrize(("travel", "way", "mirror"), [(120, 1, False), (560, 1, True), (560, -1, False)])
def test_a_window_cut_from_a_still_film_is_followed_slow_or_fast(
    still_pictures, travel, way, mirror, tmp_path
):
    chance, count = np.random.default_rng(4), len(still_pictures)
    share = np.linspace(0, 1, count) if way > 0 else np.linspace(1, 0, count)
    left = np.round(travel * share).astype(int)

    def frames():
        for at, picture in zip(left, still_pictures, strict=True):
            part = (picture[:, ::-1] if mirror else picture)[200:604, at : at + 720]
            yield np.clip(part + chance.normal(0, 3.0, part.shape), 0, 255).astype(np.uint8)

    write_film(tmp_path / "cut.mp4", frames(), 720, 404, 40.0, 21)
    path = followed(open_film(tmp_path / "cut.mp4"))
    assert path.kind is CameraKind.TURNING
    off = off_px(path, left.astype(np.float64))
    assert np.median(off) < 0.3
    assert off.max() < 1.0  # the window went by whole pixels
    assert np.mean(off <= 2 * path.error_px[:, None]) > 0.95


@pytest.mark.parametrize("grass", [True, False])
@pytest.mark.parametrize(("seed", "walk_m_s"), [(7801, 0.8), (7803, 4.0), (7805, 1.2)])
def test_a_camera_that_walks_past_a_runner_is_no_window(seed, walk_m_s, grass, tmp_path):
    run = walked_run(seed, 30.0, 1.6)
    film = open_film(write_run(run, tmp_path / "film.mp4", WalkedFilm(run, walk_m_s, 0.0, grass=grass)))
    assert followed(film).kind is CameraKind.WALKING


def test_over_ground_that_shows_nothing_a_window_is_not_told_from_a_walk(tmp_path):
    """The ground is of one colour but for lines along the run; people stand well behind it."""
    run = replace(drawn_run(63, 30.0, window=True, small=True, seconds=1.6), people=0)
    film = CapsuleFilm(run)
    assert run.ground == "plain"
    path = followed(open_film(write_run(run, tmp_path / "film.mp4", film)))
    assert path.kind is CameraKind.WALKING


def test_a_draft_of_such_a_film_has_places_in_metres(tmp_path):
    run = drawn_run(65, 60.0, window=True, small=True, seconds=1.8)
    figure = CapsuleFilm(run)
    film = open_film(write_run(run, tmp_path / "film.mp4", figure))
    marks = [GroundMark(f"m{x:g}", x, 0.0, FrameNumber(0), u, v) for x, u, v in figure.marks]
    found = draft_footfalls(film, marks).footfalls
    true = [(on * 60.0, off * 60.0, x_m) for on, off, _, x_m in events_of(run, film=figure)]
    assert len(true) >= 3
    for on, off, x_m in true:
        one = min(found, key=lambda one: abs(one.seen_at - (on + off) / 2))
        assert one.x_m == pytest.approx(x_m, abs=0.12)
