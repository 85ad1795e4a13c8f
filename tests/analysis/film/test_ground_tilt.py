"""The tilt of the ground told from the picture alone: lines drawn at known angles, and a rendered camera."""

from __future__ import annotations

import math

import av
import cv2
import numpy as np
import pytest

from analysis.film import open_film
from analysis.film.bursts import Burst, Bursts
from analysis.film.check import check_film
from analysis.film.ground_tilt import ground_tilt
from sample_clips.film import Film
from sample_clips.scenarios import drawn
from tests.truth.ffprobe_tables import CLIPS

SIZE = (640, 360)


def ground(angles_deg, seed=1):
    """A grey ground with noise and lines across it, each falling to the right by its angle, and a body."""
    picture = np.full((SIZE[1], SIZE[0]), 120.0)
    for n, angle in enumerate(angles_deg):
        down = round(180 + 160 * n / len(angles_deg))
        rise = math.tan(math.radians(angle)) * SIZE[0] / 2
        cv2.line(picture, (0, round(down - rise)), (SIZE[0], round(down + rise)), 220.0, 3, cv2.LINE_AA)
    cv2.rectangle(picture, (300, 120), (330, 240), 60.0, -1)
    noise = np.random.default_rng(seed).normal(0, 4, picture.shape)
    return np.clip(picture + noise, 0, 255).astype(np.uint8)


def bursts(pictures):
    return Bursts(tuple(Burst((0.0,), (picture,)) for picture in pictures), 2.0)


@pytest.mark.parametrize("angle", [-4.0, -1.5, 0.0, 0.8, 3.0])
def test_the_angle_of_lines_that_were_drawn(angle):
    found = ground_tilt(bursts([ground([angle] * 6, seed) for seed in range(4)]))
    assert found == pytest.approx(angle, abs=0.2)


@pytest.mark.parametrize(
    "pictures",
    [
        [ground([]) for _ in range(4)],
        [ground([2.0]) for _ in range(4)],  # one line may be anything
        [ground(np.linspace(-6, 6, 7)) for _ in range(4)],  # they fan out: the camera looks along the lane
        [ground([20.0] * 6) for _ in range(4)],  # stairs, no ground
        [ground([angle] * 6) for angle in (-2.0, -1.0, 1.0, 2.0)],  # it changes
        [ground([2.0] * 6), *(ground([]) for _ in range(4))],  # seen once only
        [],
    ],
    ids=["none", "few", "a fan", "steep", "changing", "once", "no pictures"],
)
def test_where_it_is_not_clear_nothing_is_said(pictures):
    assert ground_tilt(bursts(pictures)) is None


@pytest.mark.parametrize("camera", ["still", "tilted", "wide"])
def test_a_rendered_lane(camera):
    """Told as the renderer's camera projects the running line; not where a wide lens bends the lines."""
    film = Film(drawn(33, 120, "right", camera))
    frames = [round(n * (film.scenario.picture.frames - 1) / 3) for n in range(4)]
    begin, end = film.cameras[0].project(np.array([(3.0, 0.0, 0.0), (10.0, 0.0, 0.0)]))
    wanted = math.degrees(math.atan2(end[1] - begin[1], end[0] - begin[0]))
    found = ground_tilt(bursts([small(film.frame(number)) for number in frames]))
    if camera == "wide":
        assert found is None
    else:
        assert found == pytest.approx(wanted, abs=0.7)


def small(picture):
    """The grey picture that the film check looks at, 640 wide."""
    grey = cv2.cvtColor(np.ascontiguousarray(picture), cv2.COLOR_RGB2GRAY)
    return cv2.resize(grey, (640, 640 * grey.shape[0] // grey.shape[1]), interpolation=cv2.INTER_AREA)


def test_what_the_sample_clip_is_told():
    """It was rendered with a roll of 0.25 degrees (its truth file)."""
    tilt = next(one for one in check_film(open_film(CLIPS / "wing_day1.mp4")).findings if one.topic == "tilt")
    assert tilt.good
    assert tilt.value == pytest.approx(0.25, abs=0.3)
    assert "about level" in tilt.sentence


def test_a_tilted_ground_is_said_about(tmp_path):
    path = tmp_path / "tilted.mp4"
    picture = np.repeat(ground([3.0] * 6)[:, :, None], 3, axis=2)
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=60, options={"g": "10", "crf": "14"})
        stream.width, stream.height, stream.pix_fmt = *SIZE, "yuv420p"
        for _ in range(60):
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, "rgb24")))
        container.mux(stream.encode(None))
    tilt = next(one for one in check_film(open_film(path)).findings if one.topic == "tilt")
    assert not tilt.good
    assert "by about 3°" in tilt.sentence
