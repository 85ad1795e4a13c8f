"""Which followed points are proposed on a frame, and with which error they are to be stored."""

import numpy as np

from analysis.body.proposed import SURE, TAKEN, proposed_points
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint
from analysis.values.tracks import Standing, Tracks

HEIGHT_PX = 200.0
NAMES = ("head", "right_hip", "right_toe")


def tracks(u_px, height=HEIGHT_PX):
    """Head and toe stand a body's height apart on frame 10; followed to frame 12."""
    placed = tuple(
        BodyPoint(FrameNumber(10), name, 50.0, v)
        for name, v in zip(NAMES, (0.0, height / 2, height), strict=True)
    )
    places = np.stack([[[50.0 + 2 * row, p.v] for p in placed] for row in range(3)])
    standing = np.full((3, 3), Standing.FOLLOWED, np.uint8)
    u = np.stack([[1.5] * 3, [1.5] * 3, u_px])
    return Tracks("key", FrameNumber(10), NAMES, places, u, standing, np.ones(3), placed)


def test_what_is_sure_is_proposed_where_it_was_followed_to_with_a_wider_error():
    found = proposed_points(tracks([SURE * HEIGHT_PX - 0.1, SURE * HEIGHT_PX + 0.1, np.inf]), 12)
    assert [(p.name, p.u, p.v) for p in found] == [("head", 54.0, 0.0)]
    assert found[0].error_px == TAKEN * HEIGHT_PX


def test_a_small_body_s_points_are_never_surer_than_a_click():
    (point, *_) = proposed_points(tracks([0.1, 0.1, 0.1], height=70.0), 12)
    assert point.error_px == 1.5


def test_what_is_placed_on_the_frame_or_lies_beyond_the_tracks_is_not_proposed():
    assert proposed_points(tracks([0.1] * 3), 10) == ()
    assert proposed_points(tracks([0.1] * 3), 13) == ()
    assert proposed_points(tracks([0.1] * 3), 9) == ()
