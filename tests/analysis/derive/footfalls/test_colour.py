"""A runner whose shoes are as bright as the ground, though of another colour, before people who stay."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from analysis.derive.footfalls import draft_footfalls
from analysis.derive.footfalls.body import passing
from analysis.film import open_film
from tests.analysis.derive.footfalls.conftest import as_marks
from tests.helpers.capsule_runs import CapsuleFilm, events_of
from tests.helpers.hard_runs import plain_run, write_frames

GROUND, SHOES = (110, 110, 110), (30, 140, 81)  # by ITU-R BT.601 both of brightness 110


class EvenlyBright(CapsuleFilm):
    """On plain grey ground."""

    def _apart_from_shoes(self, rng):
        rng.uniform(30, 190, 3)
        return np.array(GROUND, float)


@pytest.fixture(scope="module")
def draft_and_truth(tmp_path_factory):
    plain = replace(plain_run(), ground="plain", shadow="none", light=1.0, noise=1.5)
    run = replace(plain, shoes=SHOES, legs=SHOES, stripes=True)
    film = EvenlyBright(run)
    film._figure = _all_as_bright(film._figure)
    frames = [film.frame(i) for i in range(run.frames)]
    path = write_frames(tmp_path_factory.mktemp("colour") / "even.mp4", frames)
    truth = [(on * run.fps, off * run.fps) for on, off, _, _ in events_of(run)]
    return draft_footfalls(open_film(path), as_marks(film.marks)), truth


def _all_as_bright(draw):
    """The figure in its colours, but everywhere as bright as the ground."""

    def drawn(*given):
        colour, cover = draw(*given)
        luma = colour @ np.array([0.114, 0.587, 0.299], np.float32)
        return colour + (GROUND[0] * cover - luma)[..., None], cover

    return drawn


def test_shoes_of_another_colour_are_found_though_no_brighter(draft_and_truth):
    draft, truth = draft_and_truth
    downs = np.array([f.touchdown for f in draft.footfalls if f.touchdown is not None])
    assert len(truth) >= 4
    for on, _ in truth:
        assert np.abs(downs - np.ceil(on)).min() <= 2


def test_what_always_moves_is_no_runner():
    """By hand: people about columns 5 to 9 always, a runner who passes."""
    columns = np.zeros((80, 40))
    columns[:, 5:10] = 6.0
    for frame in range(80):
        columns[frame, frame // 2 : frame // 2 + 3] += 8.0
    left = passing(columns, np.ones((80, 8, 40), bool))
    assert left[30:, 5:10].max() == 0
    assert (left[30:70].argmax(axis=1) - np.arange(30, 70) // 2 <= 2).all()
    assert cv2.norm(passing(columns[:, 10:], np.ones((80, 8, 30), bool)) - columns[:, 10:]) == 0
