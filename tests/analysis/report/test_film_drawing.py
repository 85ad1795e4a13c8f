"""What is drawn on a picture of an annotated film, measured back from its pixels.

A pixel's centre lies at a whole number, so that a film shown ``s`` times as large has the place u at
``(u + 0.5) s - 0.5``; line and angle formulas are those of plane geometry.
"""

import numpy as np
import pytest

from analysis.report.canvas import Canvas
from analysis.report.film_drawing import draw_scene
from analysis.report.ink import Ink
from analysis.report.scene import Dot, Look, OtherBody, Scene, Stroke, Trail
from analysis.report.stamp import LaidAgain
from analysis.values.command import Kind
from analysis.values.run import Side

INK = Ink(left="#FF0000", right="#0000FF", halo="#000000")
GREY = 110


def drawn(scene, scale=1.0, size=(640, 360)):
    picture = np.full((round(size[1] * scale), round(size[0] * scale), 3), GREY, np.uint8)
    draw_scene(Canvas(picture), scene, scale, INK)
    return picture.astype(float)


@pytest.mark.parametrize("look", list(Look))
@pytest.mark.parametrize("channels", [3, 4])
def test_a_trail_that_is_laid_again_is_the_one_that_was_drawn(look, channels):
    """On a ground of noise, within the rounding of the blends that lie over one another, a level each."""
    places = tuple((40.0 + 3 * n, 180 + 60 * np.sin(n / 9)) for n in range(190))  # beyond the right edge
    scene, trails = Scene(trails=(Trail(places, look),)), LaidAgain()
    ground = np.random.default_rng(5).integers(0, 256, (360, 560, channels)).astype(np.uint8)
    ground[..., 3:] = 255
    drawn_anew, *laid = (ground.copy() for _ in range(4))
    draw_scene(Canvas(drawn_anew), scene, 1.0, INK)
    for picture in laid:
        draw_scene(Canvas(picture), scene, 1.0, INK, trails=trails)
        assert np.abs(picture.astype(int) - drawn_anew).max() <= 6
    assert (laid[1] == laid[2]).all()
    assert (laid[0] != ground).any(axis=-1).sum() > 1000
    moved = ground.copy()
    draw_scene(Canvas(moved), Scene(trails=(Trail(places[:90], look),)), 1.0, INK, trails=trails)
    assert (moved[:, 400:] == ground[:, 400:]).all()


def redness(picture):
    """How much of each pixel a red line covers."""
    return np.clip(picture[..., 0] - picture[..., 1], 0, None)


def stroke(start, end, side=Side.LEFT, **more):
    return Stroke(Kind.LINE, "line", side, start, end, **more)


@pytest.mark.parametrize("scale", [0.5, 1.0, 1.7, 3.0])
@pytest.mark.parametrize(
    ("start", "end"),
    [((100.0, 250.0), (130.5, 80.25)), ((60.3, 200.0), (300.0, 210.7)), ((50, 50), (50, 300))],
)
def test_a_line_lies_within_a_pixel_of_where_the_scene_says_at_any_size(start, end, scale):
    red = redness(drawn(Scene((stroke(start, end),)), scale))
    (u0, v0), (u1, v1) = ((np.array(place) + 0.5) * scale - 0.5 for place in (start, end))
    along = np.array([u1 - u0, v1 - v0]) / np.hypot(u1 - u0, v1 - v0)
    rows, columns = np.nonzero(red > 40)
    weight = red[rows, columns]
    away = (columns - u0) * -along[1] + (rows - v0) * along[0]
    on = (columns - u0) * along[0] + (rows - v0) * along[1]
    for low in np.linspace(0.05, 0.85, 5) * np.hypot(u1 - u0, v1 - v0):  # its middle, piece by piece
        piece = (on >= low) & (on < low + 0.1 * np.hypot(u1 - u0, v1 - v0))
        assert abs(np.average(away[piece], weights=weight[piece])) < 0.25
    assert on.min() == pytest.approx(0, abs=1.0)
    assert on.max() == pytest.approx(np.hypot(u1 - u0, v1 - v0), abs=1.0)


@pytest.mark.parametrize("look", list(Look))
@pytest.mark.parametrize("scale", [0.5, 1.0, 2.3])
def test_a_point_lies_within_a_pixel_of_where_the_scene_says(scale, look):
    picture = drawn(Scene((), (Dot(Kind.POINT, "1:left_toe", Side.LEFT, 200.25, 90.75, look=look),)), scale)
    red = redness(picture)
    rows, columns = np.nonzero(red > 10)
    # half a pixel: a thin ring is as wide as one
    assert np.average(columns, weights=red[rows, columns]) == pytest.approx(200.75 * scale - 0.5, abs=0.5)
    assert np.average(rows, weights=red[rows, columns]) == pytest.approx(91.25 * scale - 0.5, abs=0.5)


def test_placed_followed_and_guessed_are_told_apart_without_colour():
    inked = [
        redness(drawn(Scene((), (Dot(Kind.POINT, "1:left_toe", Side.LEFT, 200, 90, look=look),)), 3)).sum()
        for look in (Look.PLACED, Look.FOLLOWED, Look.GUESSED)
    ]
    assert inked[0] > 1.3 * inked[1] > 1.3 * inked[2] > 0


def test_a_far_line_is_broken_and_a_near_one_whole():
    def gaps(**more):
        red = redness(drawn(Scene((stroke((100, 200), (400, 200), **more),))))
        return int((red[200, 104:396] < 60).sum())

    assert gaps() == 0
    assert gaps(far=True) > 60


def test_a_trail_goes_through_its_places():
    picture = drawn(Scene(trails=(Trail(((100, 100), (200, 150), (300, 100)), Look.FOLLOWED),)))
    for u, v in ((100, 100), (150, 125), (200, 150), (250, 125), (300, 100)):
        assert abs(picture[v - 1 : v + 2, u - 1 : u + 2] - GREY).max() > 60


def test_what_lies_beyond_the_edge_does_no_harm_and_has_no_label():
    away = Dot(Kind.MARK, "m", None, -500, 90, "5 m")
    plain = drawn(Scene())
    assert (drawn(Scene((stroke((-900, -900), (-800, -700)),), (away,))) == plain).all()
    crossing = redness(drawn(Scene((stroke((-1000, 180), (1500, 180)),))))
    assert (crossing[180] > 100).all()


def test_text_is_light_on_dark_and_as_high_as_can_be_read_on_a_phone():
    numbers = Scene(numbers=("1 L  contact 182 ms", "1 L  flight 61 ms"))
    picture = drawn(numbers, 2.0)
    rows, columns = np.nonzero(picture.min(axis=2) > 220)
    # common practice, no source: a capital is at least a fiftieth of the picture's height
    assert (np.ptp(rows) + 1) / 2 > picture.shape[0] / 50
    assert columns.max() < picture.shape[1] / 2
    assert np.median(picture[rows.min() : rows.max(), columns.min() : columns.max()]) < GREY / 2


def test_of_too_many_numbers_the_latest_stand_and_all_of_them_inside():
    many = drawn(Scene(numbers=tuple(f"{n}" for n in range(100))))
    last = drawn(Scene(numbers=tuple(f"{n}" for n in range(100, 200))))
    assert (many[-4:] == GREY).all()
    assert (many != last).any()
    room = drawn(Scene(numbers=tuple(f"{n}" for n in range(80, 100))))
    assert (many[10:30] != drawn(Scene(numbers=("0",)))[10:30]).any()
    assert (room[0:4] == GREY).all()


@pytest.mark.parametrize(
    "text", ["שלום 12°", "سرعة 5 m", "🏃🏽‍♀️ 48°", '"=cmd()" <b>', "a\nb", "half \ud83c", "", "\u202e12°"]
)
def test_text_of_any_script_does_no_harm_and_leaves_the_line_in_its_place(text):
    line = stroke((300.0, 250.0), (310.0, 100.0), label=text)
    picture = drawn(Scene((line,), (Dot(Kind.MARK, "m", None, 100, 300, text),), numbers=(text,)))
    plain = drawn(Scene((stroke((300.0, 250.0), (310.0, 100.0)),)))
    assert (picture[130:245, 295:315] == plain[130:245, 295:315]).all()


def test_another_runs_limb_is_hollow_lies_below_and_its_words_stand_below():
    limb = stroke((100.0, 100.0), (300.0, 100.0), None, thin=True)
    own = stroke((200.0, 60.0), (200.0, 140.0))
    picture = drawn(Scene((own,), other=OtherBody("wing_day2", (limb,))))
    green = np.clip(picture[..., 1] - picture[..., 0], 0, None)
    across = green[95:106, 150]  # from above the limb to below it
    assert across[5] < 20, "nothing in its middle"
    assert across[:5].max() > 100
    assert across[6:].max() > 100
    assert redness(picture)[100, 200] > 200, "the run's own line is on top"
    words = picture[-40:, :140]
    assert words.max() > 200, "light words"
    plain = drawn(Scene((own,)))[-40:, :140]
    assert plain.max() == GREY
