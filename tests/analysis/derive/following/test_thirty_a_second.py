"""A leg followed at 30 frames a second, where nothing in the pictures tells that a foot was lost.

The film is every 8th frame of a sample clip, whose renderer shares no code with the following. Of errors as
large as is stated (normal ones), 0.3 % lie beyond three standard uncertainties.
"""

import numpy as np
import pytest

from analysis.derive.following import follow_points
from analysis.film import FrameReader, open_film
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction
from sample_clips.encode import write_film
from tests.analysis.derive.following.test_following import CLICK_PX, Sample

FRAMES = range(120, 520, 8)
EVERY, HANDS = 6, 6


@pytest.fixture(scope="module")
def leg(tmp_path_factory):
    """The film at 30 a second, names of the near leg's points, and where they are on each frame."""
    sample = Sample("wing_day1")
    path = tmp_path_factory.mktemp("thirty") / "leg.mp4"
    with FrameReader(sample.film) as reader:
        pictures = (np.ascontiguousarray(reader.picture(f)[..., 2::-1]) for f in FRAMES)
        write_film(path, pictures, *sample.film.shown_size, 30.0, 18)
    names = [f"{sample.near}_{joint}" for joint in ("hip", "knee", "ankle", "heel", "toe")]
    truth = sample.pixels[list(FRAMES)][:, [sample.names.index(name) for name in names]]
    return open_film(path), names, truth, Direction(sample.near)


def test_a_foot_that_is_lost_and_stands_still_is_not_said_to_be_sure(leg):
    film, names, truth, direction = leg
    beyond = []
    for hand in range(HANDS):
        rng = np.random.default_rng(hand)
        at = range(hand, len(truth), EVERY)
        points = [
            BodyPoint(FrameNumber(f), name, *(truth[f, column] + rng.normal(0, CLICK_PX, 2)))
            for f in at
            for column, name in enumerate(names)
        ]
        tracks = follow_points(film, points, at[0], at[-1], direction)
        columns = [tracks.names.index(name) for name in names]
        off = np.abs(tracks.places[:, columns] - truth[at[0] : at[-1] + 1])
        between = np.arange(len(off)) % EVERY > 0
        beyond.append((off > 3.0 * tracks.u_px[:, columns, None])[between])
    assert np.concatenate(beyond).mean() < 0.006
