"""The path of a camera against rendered films, whose cameras are known exactly."""

import os
import subprocess
import sys

import cv2
import numpy as np
import pytest

from analysis.background import follow_background, sentences
from analysis.background.parallax import parallax_px
from analysis.background.shown import as_shown
from analysis.film import FrameReader, open_film
from analysis.film.reader import ReadingStopped
from analysis.values.camera import CameraKind, Lens
from analysis.values.errors import FrameError
from sample_clips.encode import write_film
from tests.analysis.background.rendering import SIZE, background, through, true_map
from tests.bench.bench_walking import judged
from tests.bench.walked_films import Shot


@pytest.fixture(autouse=True)
def _one_thread():
    threads = cv2.getNumThreads()
    cv2.setNumThreads(1)
    yield
    cv2.setNumThreads(threads)


_found = {}


def whole(clip, **more):
    """The path of all its frames; followed once where nothing else is asked for."""
    if more or clip.film.path not in _found:
        path = follow_background(clip.film, 0, clip.film.frames - 1, **more)
        if more:
            return path
        _found[clip.film.path] = path
    return _found[clip.film.path]


def offsets(clip, path):
    """How far each frame's map is from the truth: (frames, places), px along an axis."""
    places = background()
    reference = clip.cameras[path.reference]
    return np.array(
        [
            np.linalg.norm(through(map_, places) - through(true_map(camera, reference), places), axis=1)
            for map_, camera in zip(path.maps, clip.cameras, strict=True)
        ]
    ) / np.sqrt(2)


# Films are 640 px wide here; half a pixel of them is what 1 px is at 1280. The pan goes over 290 px.
@pytest.mark.parametrize(("name", "worst_px"), [("panning", 0.6), ("handheld", 0.15), ("fast", 0.3)])
def test_maps_are_those_of_the_true_camera(name, worst_px, request):
    clip = request.getfixturevalue(name)
    path = whole(clip)
    assert path.kind is CameraKind.TURNING
    assert path.maps.shape == (clip.film.frames, 3, 3)
    assert np.isfinite(path.error_px).all()
    off = np.sqrt(np.mean(offsets(clip, path) ** 2, axis=1))
    assert off.max() < worst_px
    assert off[path.reference] < 1e-9
    np.testing.assert_allclose(path.maps[:, 2, 2], 1)


# Near the feet the hall of the pan shows nothing that would tell a carried camera.
@pytest.mark.parametrize(("name", "most_px"), [("panning", 1.2), ("handheld", 0.4), ("fast", 0.4)])
def test_the_stated_error_holds(name, most_px, request):
    """Two standard uncertainties hold 95 % of a normal error; they may not hold less. Nor be idle words."""
    clip = request.getfixturevalue(name)
    path = whole(clip)
    off = offsets(clip, path)
    assert np.mean(off <= 2 * path.error_px[:, None] + 1e-9) >= 0.95
    assert np.median(path.error_px) < most_px


def lens_of(clip):
    """The true lens of a rendered film."""
    camera = clip.cameras[0]
    return Lens(camera.k1, float(camera.lens[0, 0]), (float(camera.lens[0, 2]), float(camera.lens[1, 2])))


def test_freed_from_the_lens_maps_are_those_between_straight_pictures(bent):
    """The truth is that of a pinhole camera: straight pixels of a frame to straight ones of the reference."""
    with_lens, without = whole(bent, lens=lens_of(bent)), whole(bent)
    off, off_without = (np.sqrt(np.mean(offsets(bent, path) ** 2)) for path in (with_lens, without))
    assert with_lens.kind is CameraKind.TURNING
    assert off < 0.3
    assert off_without > 4 * off
    assert with_lens.lens == lens_of(bent)
    assert without.lens is None
    assert with_lens.serves(lens_of(bent))
    assert not with_lens.serves(None)


def test_a_path_through_a_lens_lays_shown_pictures_together_as_well_as_one_map_can(bent):
    """Shown pixels of a frame, by the lens model of OpenCV's calib3d, to where the scene lies in the straight
    reference: near the middle of the picture to a few pixels."""
    path, lens = whole(bent, lens=lens_of(bent)), lens_of(bent)
    shown = as_shown(path, SIZE)
    assert shown.lens is None
    straight = background(margin=200)
    x = (straight - np.array(lens.centre)) / lens.focal_px
    seen = np.array(lens.centre) + lens.focal_px * x * (1 + lens.k1 * (x**2).sum(axis=1, keepdims=True))
    for map_, camera in zip(shown.maps, bent.cameras, strict=True):
        there = through(true_map(camera, bent.cameras[path.reference]), straight)
        assert np.abs(through(map_, seen) - there).max() < 4.0
    assert as_shown(whole(bent), SIZE) is whole(bent)


def test_frames_between_mapped_ones_are_as_good_and_say_what_they_add(fast):
    path = whole(fast)
    mapped = np.zeros(fast.film.frames, bool)
    mapped[::8] = True
    off = np.sqrt(np.mean(offsets(fast, path) ** 2, axis=1))
    assert off[~mapped].max() < 0.3
    between = path.error_px[4:84:8]
    assert (between >= np.minimum(path.error_px[0:80:8], path.error_px[8:88:8])).all()


def test_fewer_mapped_frames_say_a_larger_error(fast):
    few, many = (whole(fast, rate=rate) for rate in (10.0, 30.0))
    assert np.median(few.error_px) > np.median(many.error_px)


def test_a_still_camera_is_recognised_from_a_few_frames(still):
    asked = []
    path = whole(still, stopped=lambda: asked.append(1) is not None)
    assert path.kind is CameraKind.STILL
    assert (path.maps == np.eye(3)).all()
    assert 0 < path.error_px.max() < 0.15
    assert sentences(path) == ("The camera stood still.",)


@pytest.mark.parametrize("name", ["walking", "hurried"])
def test_a_camera_that_walks_is_refused_even_where_it_turns_as_well(name, request):
    path = whole(request.getfixturevalue(name))
    assert path.kind is CameraKind.WALKING
    assert np.isinf(path.error_px).all()
    assert path.parallax_px > 0.5
    assert "carried along" in sentences(path)[0]


def test_a_camera_carried_a_little_while_it_turns_says_how_far_the_lane_is_off(carried):
    """No one map is right for a wall and for the lane; places on the lane are what is read."""
    path = whole(carried)
    lane = np.array([(x, y, 0.0) for x in np.linspace(-2, 16, 40) for y in (0.0, 0.9, 1.8)])
    reference, off = carried.cameras[path.reference], []
    for map_, camera in zip(path.maps, carried.cameras, strict=True):
        seen = camera.project(lane)
        inside = ((seen > 0) & (seen < SIZE)).all(axis=1)
        there = through(map_, seen[inside]) - reference.project(lane[inside])
        off.append(np.sqrt(np.mean(there**2)))
    assert np.median(off) > 3
    assert np.mean(np.array(off) <= 2 * path.error_px) >= 0.9
    assert "carried or zoomed" in " ".join(sentences(path))


def pictures_of(clip, numbers):
    with FrameReader(clip.film) as reader:
        return [reader.picture(n)[:, :, 2::-1] for n in numbers]


def test_a_sinking_stand_is_said(still, folder):
    """The picture moves down by a quarter of a pixel: no need to follow it, but it is counted."""
    picture = pictures_of(still, [0])[0]
    noise = np.random.default_rng(1)
    shifted = []
    for share in np.linspace(0, 1, 24):
        sunk = cv2.warpAffine(picture, np.float32([[1, 0, 0], [0, 1, 0.42 * share]]), SIZE, borderMode=1)
        shifted.append(np.clip(sunk + noise.normal(0, 1, sunk.shape), 0, 255).astype(np.uint8))
    write_film(folder / "sinks.mp4", shifted, *SIZE, 30.0, 14)
    film = open_film(folder / "sinks.mp4")
    path = follow_background(film, 0, film.frames - 1)
    assert path.kind is CameraKind.STILL
    assert path.error_px[-1] == pytest.approx(0.42 / np.sqrt(2), abs=0.06)
    assert path.error_px[-1] > 2 * path.error_px[2]
    assert "0.3 pixels" in sentences(path)[0]


def test_frames_that_cannot_be_tied_are_said_and_the_rest_is_found_again(handheld, folder):
    """Six frames in the middle show nothing but grain."""
    pictures = pictures_of(handheld, range(30))
    noise = np.random.default_rng(2)
    for number in range(12, 18):
        pictures[number] = noise.normal(120, 3, pictures[0].shape).clip(0, 255).astype(np.uint8)
    write_film(folder / "lost.mp4", pictures, *SIZE, 30.0, 14)
    film = open_film(folder / "lost.mp4")
    path = follow_background(film, 0, 29)
    lost = np.isinf(path.error_px)
    assert lost[12:18].all()
    assert not lost[:12].any()
    assert not lost[18:].any()
    assert "6 of 30 frames" in sentences(path)[-1]


def test_a_bare_picture_gives_no_map(folder):
    """A grey sky that brightens: nothing to hold on to."""
    pictures = [np.full((SIZE[1], SIZE[0], 3), 100 + 8 * number, np.uint8) for number in range(8)]
    write_film(folder / "sky.mp4", pictures, *SIZE, 30.0, 14)
    path = follow_background(open_film(folder / "sky.mp4"), 0, 7)
    assert path.kind is not CameraKind.STILL
    assert np.isinf(np.delete(path.error_px, path.reference)).all()


def test_a_part_of_a_film_keeps_its_frame_numbers(panning):
    path = follow_background(panning.film, 8, 20)
    assert (path.first, len(path.maps)) == (8, 13)
    assert 8 <= path.reference <= 20
    places = background()
    true = true_map(panning.cameras[20], panning.cameras[path.reference])
    assert np.abs(through(path.maps[-1], places) - through(true, places)).max() < 0.8


def test_the_same_film_gives_the_same_path(handheld):
    assert follow_background(handheld.film, 0, 9) == follow_background(handheld.film, 0, 9)


KIND_OF = """
import sys
from analysis.background import follow_background
from analysis.film import open_film
film = open_film(sys.argv[1])
print(follow_background(film, 0, film.frames - 1).kind.value)
"""


@pytest.mark.parametrize("without", [{"OPENCV_CPU_DISABLE": "AVX2,FMA3"}, {"OPENCV_IPP": "disabled"}])
def test_another_processor_judges_the_camera_alike(walking, without):
    """Other instructions round otherwise, and maps differ by a hundredth of a pixel: no verdict may hang on
    that. A child process, since OpenCV looks once.
    """
    ran = subprocess.run(
        [sys.executable, "-c", KIND_OF, walking.film.path], env={**os.environ, **without},
        capture_output=True, text=True, timeout=100, check=True,
    )  # fmt: skip
    assert ran.stdout.split() == [CameraKind.WALKING.value]


@pytest.mark.parametrize("threads", [2, 3])
def test_more_threads_give_the_same_path(handheld, threads):
    one = follow_background(handheld.film, 0, 9)
    cv2.setNumThreads(threads)
    assert follow_background(handheld.film, 0, 9) == one


def test_a_known_athlete_is_left_out(panning):
    asked = []

    def mask(number):
        asked.append(number)
        picture = np.full((SIZE[1], SIZE[0]), 255, np.uint8)
        picture[:, 250:390] = 0
        return picture

    path = whole(panning, mask=mask)
    assert asked == list(range(panning.film.frames))
    assert np.sqrt(np.mean(offsets(panning, path) ** 2, axis=1)).max() < 0.8


def test_progress_rises_to_one_and_work_stops_when_asked(handheld):
    told = []
    whole(handheld, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1
    with pytest.raises(ReadingStopped):
        whole(handheld, stopped=lambda: True)


def test_frames_outside_the_film_are_refused(handheld):
    with pytest.raises(FrameError):
        follow_background(handheld.film, 0, 400)


def test_a_slow_walk_past_a_wall_over_bare_ground_is_told_or_says_how_far_the_line_may_be_off():
    """A phone's camera that is carried 40 cm along a wall: its maps are those of a small turn, and nothing on
    the ground tells. True cameras: tests/bench/walked_films.py, which shares nothing with what follows."""
    found = judged(Shot(11, walk_m_s=0.2, grass=False))
    assert found.refused or np.mean(np.array(found.off_px) <= 2 * np.array(found.stated_px)) >= 0.9


def test_a_slow_walk_over_grass_is_refused_and_hands_that_hold_still_are_not():
    assert judged(Shot(13, walk_m_s=0.2)).refused
    held = judged(Shot(13, follow=0.1, arm_m=0.3, shake_deg=0.4))
    assert not held.refused
    assert np.median(held.stated_px) < 1.0


def test_the_ground_of_one_row_parts_from_the_rest_and_a_body_in_it_does_not_count():
    """Six rows of eight cells: one row 5 px off is ground; three cells of it 5 px off are a body."""
    cells = np.full((6, 8, 2), 0.1)
    cells[4, :, 0] = 5.0
    ground = cells.reshape(-1, 2)
    cells = np.full((6, 8, 2), 0.1)
    cells[4, 2:5, 0] = 5.0
    body = cells.reshape(-1, 2)
    assert parallax_px([ground] * 3) == pytest.approx(5.0, rel=0.01)
    assert parallax_px([body] * 3) < 0.2
