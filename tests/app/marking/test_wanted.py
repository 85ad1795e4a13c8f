"""What measures want, as stops of a walk and in words."""

from dataclasses import replace

from analysis.reading import read
from analysis.values.posture import Moment
from analysis.values.run import Side
from app.marking.walks import Stop
from app.marking.wanted import Ask, answered, cost_words, key_of, stops_for, wishes
from tests.analysis.reading.runs import evidence_of, sample


def bare():
    """A sample run with its marks and events, no point and no line."""
    evidence = evidence_of(sample("wing_day1")[0])
    return read(replace(evidence, run=replace(evidence.run, points=(), lines=())))


def test_groups_come_quick_one_first_then_launch_then_steps():
    titles = [wish.title for wish in wishes(bare())]
    assert titles[:3] == ["Launch and first strike", "Launch, all measures", "Step 1, all measures"]


def test_a_point_that_serves_several_measures_is_asked_for_once_near_side_first():
    reading = bare()
    quick = wishes(reading)[0]
    stops = stops_for(reading, quick.ask, Side.RIGHT)
    assert len(set(stops)) == len(stops) == 8
    assert [s.frame for s in stops] == sorted(s.frame for s in stops)
    assert stops[:2] == (Stop(83, "right_shoulder"), Stop(83, "right_hip"))
    assert answered(reading, quick.ask.keys) == 0


def test_nothing_is_wanted_by_what_is_not_asked_for():
    reading = bare()
    assert stops_for(reading, Ask(), Side.RIGHT) == ()
    assert stops_for(None, Ask((key_of(reading.posture[0]),)), Side.RIGHT) == ()
    assert stops_for(reading, Ask((("trunk_lead_deg", 7, Moment.PUSH, None),)), Side.RIGHT) == ()


def test_costs_are_said_in_clicks_and_frames():
    assert cost_words([Stop(3, "head")]) == "1 click on 1 frame"
    assert cost_words([Stop(3, "head"), Stop(3, "neck"), Stop(5, "neck")]) == "3 clicks on 2 frames"
