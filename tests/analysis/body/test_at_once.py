"""Forms read at once are those read one by one: value, error and what cancels between two of them.

One by one they are held against the renderer's truth (test_posture_measures) and their errors against the
library uncertainties (tests/truth/test_time_uncertainty); at once they must say the same.
"""

import pytest

from analysis.body import forms
from analysis.body.at_once import read_ahead
from analysis.body.mass_models import MassModel
from analysis.body.places import on_frame
from analysis.body.placing import body_places
from analysis.body.posture_measures import Asking, Measured, form_at, less
from analysis.ground.carried import estimate
from analysis.ground.point_rows import rows_of
from analysis.ground.points import by_name
from analysis.values.estimate import NoValue
from analysis.values.run import Side
from tests.analysis.body.test_posture_measures import Clip

MEN = MassModel.DE_LEVA_MALE
EVENTS = (220, 257, 301)
BETWEEN = (
    forms.TRUNK,
    forms.SPINE,
    forms.THIGHS_APART,
    *(form(side) for side in Side for form in (forms.shin, forms.thigh, forms.knee_gap)),
    *(forms.ball_to_centre(side, MEN) for side in Side),
    forms.mass_height(MEN),
)


@pytest.fixture(scope="module")
def clip():
    return Clip("wing_day1", 1.5)


def body_of(clip, without=(), ground=True):
    """A body of all points but those without."""
    points = (
        by_name([p for p in clip.points if not p.name.endswith(without)]) if without else by_name(clip.points)
    )
    on = clip.ground if ground else NoValue("none")
    return body_places(on, clip.run.direction, rows_of(points, len(clip.seconds)), clip.seconds, 6.0)


def moments_of(clip):
    return [*map(clip.event, EVENTS), on_frame(40, clip.seconds)]


@pytest.mark.parametrize(
    ("without", "ground"), [((), True), ((), False), (("wrist",), True), (("left_hip", "right_toe"), True)]
)
def test_at_once_is_one_by_one(clip, without, ground):
    body, afresh = (body_of(clip, without, ground) for _ in range(2))
    moments = moments_of(clip)
    read_ahead(body, [(form, moment) for form in BETWEEN for moment in moments])
    assert len(body.ahead) >= 20
    for (form, frame, _), read in body.ahead.items():
        moment = next(m for m in moments if m.frame == frame)
        alone = Asking(afresh).form(form, moment)
        assert isinstance(alone, Measured)
        assert (read.frames, read.partial, read.guessed) == (alone.frames, alone.partial, alone.guessed)
        here, there = estimate(read.value), estimate(alone.value)
        for field in ("value", "u", "low", "high"):
            assert getattr(here, field) == pytest.approx(getattr(there, field), rel=1e-9, abs=1e-9)


def test_what_two_of_them_share_cancels_alike(clip):
    body, afresh = body_of(clip), body_of(clip)
    first, second, third, _ = moments_of(clip)
    read_ahead(body, [(form, moment) for form in BETWEEN for moment in (first, second, third)])
    for form in BETWEEN:
        here, there = (less(form_at(of, form, first), form_at(of, form, third)) for of in (body, afresh))
        assert estimate(here.value).u == pytest.approx(estimate(there.value).u, rel=1e-9)
    at_one = [
        less(form_at(of, forms.TRUNK, second), form_at(of, forms.shin(Side.LEFT), second))
        for of in (body, afresh)
    ]
    assert estimate(at_one[0].value).u == pytest.approx(estimate(at_one[1].value).u, rel=1e-9)
    apart = sum(estimate(form_at(body, forms.TRUNK, m).value).u ** 2 for m in (first, third)) ** 0.5
    assert (
        estimate(less(form_at(body, forms.TRUNK, first), form_at(body, forms.TRUNK, third)).value).u
        < 0.9 * apart
    )


def test_what_stands_on_one_frame_alone_is_left_to_be_read_by_itself(clip):
    points = [p for p in clip.points if not (p.name == "left_knee" and p.frame == EVENTS[0] - 1)]
    body = clip.with_points(points)
    moment = clip.event(EVENTS[0])
    read_ahead(body, [(forms.shin(side), moment) for side in Side])
    assert [form for form, _, _ in body.ahead] == [forms.shin(Side.RIGHT)]
    assert isinstance(form_at(body, forms.shin(Side.LEFT), moment), Measured)
