"""A drawn foot's frames hold where the band shows more ground under it than is looked at."""

import numpy as np
import pytest

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import canvas_of
from analysis.derive.footfalls.close_up import close_up_of
from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.cutting import Band, BandPlace
from analysis.derive.footfalls.refine import toe_offs, touchdown
from analysis.derive.footfalls.strip import read_strip

FRAMES, WIDTH, HEIGHT_PX, GROUND, RATE = 150, 320, 160.0, 90, 100.0
DOWN, OFF, HEEL, TIP = 70, 84, 150, 175
FEET = (0.06, GROUND - 0.06 * HEEL)


def filmed(rows):
    """Rough ground on which a shoe stands from DOWN until OFF, coming and going by 9 px a frame."""
    chance = np.random.default_rng(5)
    ground = chance.integers(30, 220, (300, WIDTH // 4)).repeat(4, axis=1)[:rows]
    pictures = np.clip(ground + chance.normal(0, 0.6, (FRAMES, rows, WIDTH)), 1, 255)
    for frame in range(DOWN - 6, OFF + 6):
        away = min(frame - DOWN, 0) + max(frame - OFF + 1, 0)
        low = GROUND - 4 * abs(away)
        pictures[frame, low - 12 : low, HEEL + 9 * away : TIP + 9 * away] = 160
        pictures[frame, low - 5 : low, HEEL + 9 * away : TIP + 9 * away] = 90
    frames = np.arange(FRAMES)
    place = np.full(FRAMES, 40.0)
    body = BodyPath(HEEL + 6.0 * (frames - 77), frames > 0, HEIGHT_PX, place, place, 0.0)
    band = Band(BandPlace(0.0, float(GROUND), GROUND, rows - GROUND), pictures.astype(np.uint8))
    return read_strip(band, canvas_of(FRAMES, WIDTH, rows, None), body, RATE, feet=FEET)


STREAK = Streak(DOWN, OFF, (HEEL + TIP) / 2, TIP - 6.0, 1.0)


@pytest.mark.parametrize("rows", [106, 180, 260])
def test_ground_far_under_a_foot_does_not_stand_for_it(rows):
    strip = filmed(rows)
    assert touchdown(strip, STREAK, HEIGHT_PX, RATE).frame == pytest.approx(DOWN, abs=1.05)
    for edge in toe_offs(strip, STREAK, HEIGHT_PX, RATE):
        assert edge.frame == pytest.approx(OFF - 0.5, abs=1.05)


def test_what_a_foot_shows_is_the_same_however_much_ground_is_under_it():
    scale = HEIGHT_PX, RATE, 1.0
    few, many = (close_up_of("toe-off", filmed(rows), STREAK, scale).pictures for rows in (150, 260))
    assert np.abs(many - few).mean() < 0.05
    assert np.abs(few[0]).max() > 0.8


@pytest.mark.parametrize("column", [110, 150, 200])
def test_the_ground_is_known_in_all_rows_in_which_a_foot_is_looked_at(column):
    """The drawn ground is nowhere black."""
    strip = filmed(260)
    rows = strip.foot_rows(column, HEIGHT_PX)
    assert strip.bare[rows, column - 21 : column + 22].min() > 0
    assert strip.bare[-1].max() == 0
