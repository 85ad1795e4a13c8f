"""Which frames still want a point, and in which order a walk visits them."""

from dataclasses import replace

from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction, Footfall, Run, Side, StartPush
from app.marking.walks import Stop, hip_stops, missing, next_missing, shoe_tip_stops


def frame(number: int) -> FrameNumber:
    return FrameNumber(number)


RUN = Run(
    "run",
    "film",
    "",
    frame(0),
    frame(400),
    start=StartPush(frame(10), frame(50), frame(90)),
    footfalls=(
        Footfall("a", Side.LEFT, frame(100), frame(140)),
        Footfall("b", Side.RIGHT, frame(140), None),
        Footfall("c", Side.LEFT, None, frame(20)),
        Footfall("d", Side.LEFT, frame(200), None, draft=True),
    ),
)


def test_a_shoe_tip_is_wanted_at_every_confirmed_touchdown():
    assert shoe_tip_stops(RUN) == (Stop(100, "left_toe"), Stop(140, "right_toe"))


def test_the_near_hip_is_wanted_once_on_every_frame_with_an_event():
    frames = [10, 20, 50, 90, 100, 140, 200]
    assert hip_stops(RUN) == tuple(Stop(n, "right_hip") for n in frames)
    to_the_left = replace(RUN, direction=Direction.LEFT)
    assert {stop.name for stop in hip_stops(to_the_left)} == {"left_hip"}


def test_a_walk_goes_on_and_then_comes_back_to_what_was_left_out():
    run = replace(RUN, points=(BodyPoint(frame(50), "right_hip", 1.0, 2.0),))
    stops = hip_stops(run)
    assert [stop.frame for stop in missing(run, stops)] == [10, 20, 90, 100, 140, 200]
    assert next_missing(run, stops, 20) == Stop(90, "right_hip")
    assert next_missing(run, stops, 200) == Stop(10, "right_hip")
    placed = replace(run, points=tuple(BodyPoint(frame(s.frame), s.name, 1.0, 2.0) for s in stops))
    assert next_missing(placed, stops, 0) is None
