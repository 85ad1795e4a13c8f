"""Segment angles of a walking woman and the flight of a tossed ball against published numbers."""

import numpy as np
import pytest

from analysis.body import forms
from analysis.body.flight_measures import flight_velocity, slopes
from analysis.body.places import on_frame
from analysis.body.placing import body_places
from analysis.body.posture_measures import form_at, shin_angle
from analysis.body.series import angle_series
from analysis.ground.carried import estimate
from analysis.ground.point_rows import rows_of
from analysis.ground.points import by_name
from analysis.values.estimate import NoValue
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction, Side

# Winter DA (2009), Biomechanics and Motor Control of Human Movement, 4th ed., table A.1, as transcribed in
# BMClab/BMC (Marcos Duarte and colleagues, CC BY 4.0): frame; rib cage, right hip, knee, fibula head and
# ankle in cm; then the angles of thigh, shank and trunk in deg, worked out from these with NumPy alone
TABLE_A1 = [
    (1, (46.98, 104.41), (44.94, 78.58), (41.00, 47.40), (35.91, 40.53), (9.31, 21.44), 82.80, 35.67, 85.48),
    (
        15,
        (72.43, 107.59),
        (73.19, 82.90),
        (86.56, 54.78),
        (86.30, 46.00),
        (74.72, 14.44),
        115.43,
        69.85,
        91.76,
    ),
    (
        28,
        (98.73, 103.52),
        (101.53, 79.34),
        (112.34, 50.46),
        (113.87, 41.80),
        (124.94, 10.63),
        110.52,
        109.55,
        96.61,
    ),
    (
        40,
        (125.03, 106.19),
        (126.94, 82.78),
        (133.04, 51.35),
        (132.79, 42.44),
        (130.37, 9.35),
        100.98,
        85.82,
        94.66,
    ),
    (
        50,
        (144.05, 107.46),
        (142.02, 82.65),
        (140.11, 51.09),
        (137.05, 42.57),
        (130.56, 9.99),
        86.54,
        78.73,
        85.32,
    ),
    (
        60,
        (164.58, 104.03),
        (159.88, 80.23),
        (151.22, 50.33),
        (146.26, 42.82),
        (132.26, 12.66),
        73.85,
        65.10,
        78.83,
    ),
    (
        70,
        (187.71, 104.28),
        (185.67, 78.83),
        (181.73, 47.53),
        (176.00, 40.15),
        (149.53, 21.82),
        82.83,
        34.70,
        85.42,
    ),
]

SECONDS = np.array([0.0, 0.1])


def body(direction, **places):
    """A body on frame 0 of points in cm; its film is one pixel a cm, v downwards."""
    forward = 1.0 if direction is Direction.RIGHT else -1.0
    points = [BodyPoint(FrameNumber(0), n, 300 + forward * x, 200 - y, 0.1) for n, (x, y) in places.items()]
    return body_places(NoValue("no marks"), direction, rows_of(by_name(points), 2), SECONDS)


def value(measure):
    return estimate(measure.value).value


def over_frames(of, measure, side):
    """The angle as it is read over the frames, on the only one."""
    (found,) = (s for s in angle_series(of) if (s.measure, s.side) == (measure, side))
    return float(found.value[0])


@pytest.mark.parametrize("direction", Direction)
@pytest.mark.parametrize("row", TABLE_A1, ids=[f"frame {row[0]}" for row in TABLE_A1])
def test_winters_angles(row, direction):
    _, rib, hip, knee, fibula, ankle, thigh, shank, trunk = row
    moment = on_frame(0, SECONDS)
    upper = body(direction, right_shoulder=rib, right_hip=hip, right_knee=knee)
    lower = body(direction, right_knee=fibula, right_ankle=ankle)
    assert over_frames(upper, "thigh_deg", Side.RIGHT) == pytest.approx(thigh, abs=0.01)
    assert over_frames(lower, "shin_deg", Side.RIGHT) == pytest.approx(shank, abs=0.01)
    assert value(shin_angle(lower, Side.RIGHT, moment)) == pytest.approx(shank, abs=0.01)
    assert value(form_at(upper, forms.angle("right_hip", "right_shoulder"), moment)) == pytest.approx(
        trunk, abs=0.01
    )


# A ball filmed at 30 frames a second, x and y in m (BMClab/BMC, data/balltoss.txt, CC BY 4.0)
TOSS = np.array([
    (-0.5261958998, -0.002277904328), (-0.4702294895, 0.08077724777), (-0.4142484732, 0.1522588619),
    (-0.3575860121, 0.2130394273), (-0.3014981992, 0.2629720078), (-0.2447817587, 0.3021375926),
    (-0.1875278496, 0.3309903903), (-0.1309378598, 0.3484390775), (-0.07289293850, 0.3553530752),
    (-0.01740140588, 0.3510192370), (0.03954445929, 0.3360319672), (0.09656870733, 0.3098830844),
    (0.1539513472, 0.2720571803), (0.2113987572, 0.2240994117), (0.2689056482, 0.1646116826),
    (0.3273388656, 0.09366907609), (0.3856806205, 0.01222379773), (0.4437360649, -0.08179335636),
    (0.5026202254, -0.1863156979), (0.5620442247, -0.3031260056), (0.6222880480, -0.4316753185),
    (0.6844543425, -0.5731189029),
])  # fmt: skip


def test_the_toss_of_a_ball():
    """A free parabola gives g 9.9781, vx 1.72326, vy 2.68823 m/s. With g fixed the same least squares must
    give vy less half the difference of g times 0.7 s (over evenly spaced times a parabola slopes as between
    its ends).
    """
    times = np.arange(22) / 30
    vx, vy = flight_velocity(slopes(times, 0.0)[0], times, TOSS)
    assert vx == pytest.approx(1.72326, abs=1e-4)
    assert vy == pytest.approx(2.68823 - (9.9781 - 9.80665) / 2 * 0.7, abs=2e-4)
    # from the first and last frame alone: 56.539 degrees, the free parabola: 57.339 (both within 3 %)
    assert 56.5 < np.degrees(np.arctan2(vy, vx)) < 57.4
