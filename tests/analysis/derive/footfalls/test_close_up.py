"""A drawn shoe close up: as large and as bright in every film, and what the net makes of it."""

import numpy as np
import pytest
from scipy.signal import correlate

from analysis.derive.footfalls import event_net
from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import canvas_of
from analysis.derive.footfalls.chances import KINDS, MOMENTS, chances_of
from analysis.derive.footfalls.close_up import AHEAD, BEHIND, CELL, OVER, REACH, UNDER, UNIT_S, close_up_of
from analysis.derive.footfalls.contacts import Streak
from analysis.derive.footfalls.cutting import Band, BandPlace
from analysis.derive.footfalls.strip import read_strip

RATE, DOWN, OFF, FRAMES = 240.0, 60, 95, 150
HEIGHT_PX, SHOE_PX, HIGH_PX = 150, 24, 9


def filmed(times=1, forwards=1, shoe=170, ground=60):
    """A shoe that flies in, stands from DOWN until OFF and flies on, ``times`` as large."""
    rows, width, line = 70 * times, 260 * times, 50 * times
    pictures = np.full((FRAMES, rows, width), ground, np.uint8)
    heel, ahead = 110 * times, SHOE_PX * times
    for frame in range(FRAMES):
        away = min(frame - DOWN, 0) + max(frame - OFF + 1, 0)
        low, left = line - times * abs(away), heel + 3 * times * away
        if low > 0 and left + ahead > 0:
            pictures[frame, max(0, low - HIGH_PX * times) : low, max(0, left) : max(0, left + ahead)] = shoe
    u = heel + 3.0 * times * (np.arange(FRAMES) - (DOWN + OFF) / 2)
    tip = float(heel + ahead - 1)
    if forwards < 0:
        pictures, u, tip = np.ascontiguousarray(pictures[:, :, ::-1]), width - 1 - u, width - 1 - tip
    nowhere = np.full(FRAMES, np.nan)
    body = BodyPath(u, np.ones(FRAMES, bool), HEIGHT_PX * times, nowhere, nowhere, 0.0)
    band = Band(BandPlace(0.0, float(line), line, rows - line), pictures)
    strip = read_strip(band, canvas_of(FRAMES, width, rows, None), body, RATE)
    middle = tip - forwards * ahead / 2
    return strip, Streak(DOWN, OFF, middle, tip, 1.0), (float(HEIGHT_PX * times), RATE, float(forwards))


def seen(kind="toe-off", late=0, **how):
    strip, one, scale = filmed(**how)
    one = Streak(one.begin + late, one.end + late, one.column, one.tip, one.score)
    return close_up_of(kind, strip, one, scale)


def test_a_foot_that_stands_is_one_and_bare_ground_is_nought():
    close = seen()
    assert close.pictures.shape == (2 * REACH + 1, OVER + UNDER, BEHIND + AHEAD)
    cell = CELL * HEIGHT_PX
    rows = slice(OVER - round(HIGH_PX / cell) + 1, OVER - 1)
    columns = slice(BEHIND - round(SHOE_PX / cell) + 2, BEHIND - 2)
    assert close.stands[rows, columns] == pytest.approx(1.0, abs=0.1)
    assert close.stands[OVER + 2 :] == pytest.approx(0.0, abs=0.1)
    assert close.pictures[REACH - 4][rows, columns] == pytest.approx(
        1.0, abs=0.1
    )  # 4 frames before it leaves
    assert close.pictures[-1] == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize(
    "how", [{"times": 2}, {"forwards": -1}, {"shoe": 30, "ground": 140}, {"shoe": 95, "ground": 60}]
)
def test_size_side_and_colour_make_no_difference(how):
    one, other = seen(), seen(**how)
    assert np.abs(other.pictures - one.pictures).mean() < 0.03
    assert other.stands == pytest.approx(one.stands, abs=0.35)  # at its edges, half a pixel off


@pytest.mark.parametrize("late", [-5, 0, 5])
@pytest.mark.parametrize("kind", KINDS)
def test_the_event_is_where_the_shoe_comes_and_goes_though_the_strip_tells_it_elsewhere(kind, late):
    event = (DOWN if kind == "touchdown" else OFF) + late
    found = chances_of(seen(kind, late), event, RATE, kind)
    assert found.times == pytest.approx(event - 0.5 + MOMENTS * UNIT_S * RATE)
    assert found.share.sum() == pytest.approx(1.0)
    # within 12 ms: no foot lands and leaves flat and at one speed as this one does
    assert found.best == pytest.approx(event - late - 0.5, abs=3)


def test_layers_are_what_scipy_makes_of_them():
    draw = np.random.default_rng(3)
    pictures, weights = draw.normal(size=(2, 9, 11, 3)), draw.normal(size=(3, 3, 3, 4))
    found = event_net._looked(pictures, weights, 2)
    for out in range(4):
        for number in range(2):
            plain = correlate(pictures[number], weights[..., out], mode="valid")[..., 0]
            assert found[number, :, :, out] == pytest.approx(plain[::2, ::2])
    series, over = draw.normal(size=(30, 5)), draw.normal(size=(9, 5, 2))
    found = event_net._in_time(series, over)
    for out in range(2):
        assert found[:, out] == pytest.approx(correlate(series, over[..., out], mode="valid")[:, 0])
