"""The start push before a camera that moves: by hand, and in runs whose renderers know when feet leave."""

import math

import numpy as np
import pytest

from analysis.derive.footfalls import draft_footfalls
from analysis.derive.footfalls.canvas import Canvas
from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.cutting import Band, BandPlace
from analysis.derive.footfalls.set_feet import set_feet
from analysis.derive.footfalls.strip import GroundStrip
from analysis.film import open_film
from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark
from tests.helpers.capsule_runs import drawn_run, write_run
from tests.helpers.meadow_runs import MeadowFilm
from tests.helpers.track_runs import TrackFilm

FRAMES, ROWS, WIDTH, TALL = 120, 40, 300, 100.0
REAR_LEAVES, FRONT_LEAVES = 50, 76


def strip_of(pictures):
    """A strip of a followed camera that knows nothing of the ground."""
    sees = np.tile([0.0, WIDTH - 1.0], (FRAMES, 1))
    canvas = Canvas(0, WIDTH, ROWS, np.tile(np.eye(3), (FRAMES, 1, 1)), sees)
    nothing = np.zeros((FRAMES, WIDTH), np.uint8)
    band, lowest = Band(BandPlace(0.0, 30.0, 30, 10), pictures), nothing.astype(np.int16)
    bare, spread = np.zeros((ROWS, WIDTH), np.uint8), np.ones((ROWS, WIDTH), np.float32)
    return GroundStrip(
        nothing, nothing, nothing, lowest, canvas, band, bare, spread, np.ones(FRAMES), 1.0, (0.0, 30.0)
    )


def scene(forwards=1, shadow_until=None, blind_from=None):
    """Two laced shoes on patterned ground, 15 px long, 25 px apart; a shadow over both until
    ``shadow_until``; nothing seen left of column 140 from ``blind_from`` on.
    """
    chance = np.random.default_rng(7)
    ground = np.kron(chance.uniform(90, 130, (10, 75)), np.ones((4, 4)))
    frames = np.repeat(ground[None], FRAMES, axis=0)
    if shadow_until is not None:
        frames[:shadow_until, :, 60:260] *= 0.6
    for left, leaves in ((100, REAR_LEAVES), (125, FRONT_LEAVES)):
        frames[:leaves, 24:31, left : left + 15] = 150 + 80 * (np.arange(15) // 3 % 2)
    frames += chance.normal(0, 1.0, frames.shape)
    out = np.clip(frames, 1, 255).astype(np.uint8)
    if blind_from is not None:
        out[blind_from:, :, :140] = 0
    return strip_of(out if forwards > 0 else np.ascontiguousarray(out[:, :, ::-1]))


def found(strip, forwards=1):
    u = 180.0 if forwards > 0 else WIDTH - 1 - 180.0
    step = Streak(FRONT_LEAVES + 6, FRAMES - 10, u, u, 1.0)
    return set_feet(strip, step, TALL, np.arange(FRAMES) / 120.0, FRAMES - 10, float(forwards))


@pytest.mark.parametrize("forwards", [1, -1])
def test_both_feet_are_told_though_their_ground_was_never_seen_before(forwards):
    rear, front = found(scene(forwards), forwards)
    assert (rear.leaves, front.leaves) == (REAR_LEAVES, FRONT_LEAVES)
    tip = 139 if forwards > 0 else WIDTH - 1 - 139
    assert front.tip == pytest.approx(tip, abs=2)  # the filter's reach


def test_a_shadow_that_leaves_before_the_feet_is_none():
    assert [one.leaves for one in found(scene(shadow_until=REAR_LEAVES - 6))] == [REAR_LEAVES, FRONT_LEAVES]


def test_a_foot_that_goes_out_of_sight_is_not_told_to_leave():
    assert [one.leaves for one in found(scene(blind_from=FRONT_LEAVES - 4))] == [REAR_LEAVES]
    assert found(scene(blind_from=REAR_LEAVES + 8)) == []


@pytest.mark.parametrize(
    ("figure", "seed", "rate_hz", "camera", "seconds", "within_s"),
    [(MeadowFilm, 12032, 120.0, "pan", 1.8, 2 / 120), (MeadowFilm, 12017, 60.0, "window", 1.8, 1 / 60),
     (TrackFilm, 12050, 120.0, "shake", 2.2, 3 / 120)],
)  # fmt: skip
def test_a_drawn_start_is_read_through_the_background_map(
    figure, seed, rate_hz, camera, seconds, within_s, tmp_path
):
    run = drawn_run(seed, rate_hz, seconds=seconds, **{camera: True})
    film = figure(run)
    path = write_run(run, tmp_path / "film.mp4", film, crf=26 if figure is MeadowFilm else 23)
    marks = [GroundMark(f"m{x:g}", x, 0.0, FrameNumber(0), u, v) for x, u, v in film.marks]
    draft = draft_footfalls(open_film(path), marks)
    within = within_s * rate_hz
    assert draft.start.rear_toe_off == pytest.approx(math.ceil(run.rear_s * rate_hz), abs=within)
    assert draft.start.front_toe_off == pytest.approx(math.ceil(run.front_s * rate_hz), abs=within)
    # the set position's front foot is no contact of the run
    assert draft.footfalls[0].touchdown == pytest.approx(math.ceil(run.contacts[0][0] * rate_hz), abs=3)
