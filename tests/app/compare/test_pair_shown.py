"""Charts of two runs as values: runs written by hand, so that places and frames follow by arithmetic."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.reading.compare import compare
from analysis.values.comparison import Claim, MeasureKey
from analysis.values.estimate import Estimate
from analysis.values.posture import Moment
from analysis.values.time_map import TimeMap
from app.compare.pair_choices import OVER_TIME, SPEED, STEPS
from app.compare.pair_shown import PairRun, pair_shown
from tests.app.charts.test_speed import with_speed
from tests.app.rail.invented import a_film, a_reading, a_run
from tests.app.run.demo_reading import demo_evidence, demo_reading

CONTACT = STEPS[0]


def longer(reading, by_s):
    """The same run with a third contact that is longer by so much."""
    step = reading.steps[2]
    number = step.contact_s
    moved = Estimate(number.value + by_s, number.u, number.low + by_s, number.high + by_s)
    steps = (*reading.steps[:2], replace(step, contact_s=moved), *reading.steps[3:])
    return replace(reading, steps=steps)


def pair(one, two, later_s=0.0):
    times = a_film(a_run())
    maps = TimeMap(), TimeMap.offset(later_s)
    return tuple(
        PairRun(name, reading, times, name == "lower", time_map.master_s)
        for name, reading, time_map in zip(("upper", "lower"), (one, two), maps, strict=True)
    )


def shown(choice, one, two, later_s=0.0):
    return pair_shown(choice, pair(one, two, later_s), compare([one], [two]))


def test_both_runs_stand_beside_each_other_at_every_step():
    reading = a_reading(a_run())
    found = shown(CONTACT, reading, longer(reading, 0.2))
    read = [s for s in reading.steps if isinstance(s.contact_s, Estimate)]
    for lower in (False, True):
        mine = [p for p in found.points if p.lower is lower]
        assert [round(p.across) for p in mine] == [s.step for s in read]
        assert [p.frame for p in mine] == [s.touchdown for s in read]
    first = next(p for p in found.points if not p.lower)
    assert first.number.value == pytest.approx(read[0].contact_s.value * 1000)  # in ms
    assert found.ticks[0] == (1.0, "1")


def test_what_can_be_told_apart_is_what_the_comparison_says_and_nothing_else():
    reading = a_reading(a_run())
    other = longer(reading, 0.2)
    told = {(round(p.across), p.lower) for p in shown(CONTACT, reading, other).points if p.told}
    assert told == {(3, False), (3, True)}
    claim = compare([reading], [other]).row(MeasureKey("contact_s", step=3)).claim
    assert claim is Claim.DIFFERS
    assert not any(p.told for p in shown(CONTACT, reading, reading).points)


def test_the_words_of_a_point_name_run_measure_number_and_claim():
    reading = a_reading(a_run())
    words = [p.words for p in shown(CONTACT, reading, longer(reading, 0.2)).points if p.told]
    assert words[0].startswith("upper, contact time, step 3")
    assert words[0].endswith(". differs")


def test_speed_stands_over_the_metres_where_the_hips_are():
    found = shown(SPEED, with_speed(), with_speed())
    (upper, lower) = found.curves
    assert upper.across == pytest.approx([0.388, 1.988, 4.788])
    assert (lower.low[1], lower.high[1]) == (4.8, 5.8 - 0.6)
    # hips at 4 m/s from 0.103 s on, 100 frames a second: frame 60 is at 4 (0.6 - 0.103) m
    assert found.across_at(60, lower=False) == pytest.approx(4 * (0.60 - 0.103), abs=0.02)
    assert found.across_at(5, lower=False) is None


def test_an_angle_stands_over_the_clock_of_both_films():
    reading, times = demo_reading(), demo_evidence().film.times
    trunk = OVER_TIME[0]
    runs = (
        PairRun("upper", reading, times, False, TimeMap().master_s),
        PairRun("lower", reading, times, True, TimeMap.offset(0.5).master_s),
    )
    found = pair_shown(trunk, runs, compare([reading], [reading]))
    upper, lower = found.curves
    assert upper.across[0] - lower.across[0] == pytest.approx(0.5)
    assert found.across_at(100, lower=True) == pytest.approx(times.at(100) - 0.5)
    events = [p for p in found.points if not p.lower]
    assert {p.frame for p in events} <= {f for s in reading.steps for f in (s.touchdown, s.toe_off)}
    assert len(events) > 4


def test_a_limb_is_of_one_side():
    reading, times = demo_reading(), demo_evidence().film.times
    left = next(c for c in OVER_TIME if c.title == "Shin, left")
    run = PairRun("r", reading, times, False, TimeMap().master_s)
    found = pair_shown(left, (run, replace(run, lower=True)), compare([reading], [reading]))
    series = next(s for s in reading.series if (s.measure, s.side) == ("shin_deg", left.side))
    upper = found.curves[0]
    assert sorted(v for v in upper.value if v == v) == sorted(series.value.tolist())
    by_frame = {p.frame: p.number.value for p in found.points}
    rows = [
        row
        for row in reading.posture
        if (row.measure, row.side) == ("shin_deg", left.side)
        and row.moment is Moment.TOUCHDOWN
        and isinstance(row.result, Estimate)
    ]
    touchdowns = {step.step: step.touchdown for step in reading.steps}
    assert len(rows) > 4
    for row in rows:
        assert by_frame[touchdowns[row.step]] == pytest.approx(row.result.value)
