"""Which band counts for which run, and the starting bands against the page that defines them."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.values.bands import (
    Band,
    BandGroup,
    BandOrigin,
    BandTable,
    applying,
    judging,
    revised,
    told_apart,
)
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.film import FrameNumber
from analysis.values.measures import ASKED, known_measures, unit_of
from analysis.values.posture import Moment
from analysis.values.questions import Question
from analysis.values.run import Athlete, Run
from analysis.values.starting_bands import SOURCE, bands_for, starting_bands

RUN = Run("r", "f", "", FrameNumber(0), FrameNumber(9), athlete_id="a")
ADULT = Athlete("a", "W7", sex="male", age=AgeGroup.ADULT)
SPLIT = replace(RUN, conditions=Conditions(stance=Stance.SPLIT))


def table(name, origin=BandOrigin.COACH, low=0.0, version=1, **more):
    band = Band("hip_share", Moment.PUSH, 0, 0, low, 1.0, "the coach")
    return BandTable(f"{name} {version}", name, version, origin, (band,), **more)


def low_of(tables, run=SPLIT, athlete=ADULT):
    return judging(bands_for(run, athlete, tables), "hip_share", Moment.PUSH, 0).band.low


def test_the_coachs_own_count_before_an_own_pattern_and_that_before_the_starting_bands():
    own = table("Club", low=0.1)
    pattern = table("W7", BandOrigin.OWN_PATTERN, 0.2, athlete_id="a", runs=6)
    assert low_of([]) == 0.6
    assert low_of([pattern]) == 0.2
    assert low_of([pattern, own]) == 0.1


def test_a_measure_that_the_coachs_table_leaves_out_is_judged_by_the_next():
    tables = bands_for(SPLIT, ADULT, [table("Club", low=0.1)])
    assert judging(tables, "trunk_lead_deg", Moment.PUSH, 0).table.origin is BandOrigin.STARTING


def test_the_newest_version_counts_and_the_old_one_is_kept():
    first = table("Club", low=0.1)
    second = revised(first, [replace(first.bands[0], low=0.3)], "other", "2026-03-06T10:00:00+00:00")
    assert (second.version, second.name, first.version) == (2, "Club", 1)
    assert second.made_at.startswith("2026-03-06")
    assert low_of([second, first]) == 0.3


@pytest.mark.parametrize(
    ("run", "athlete"),
    [
        (SPLIT, replace(ADULT, age=AgeGroup.YOUTH)),
        (SPLIT, replace(ADULT, age=AgeGroup.CHILD)),
        (replace(RUN, conditions=Conditions(stance=Stance.BLOCKS)), ADULT),
        (replace(RUN, conditions=Conditions(stance=Stance.ROLLING)), None),
    ],
)
def test_starting_bands_are_off_for_anyone_but_adults_from_a_split_stance(run, athlete):
    assert bands_for(run, athlete) == ()


def test_starting_bands_count_where_nobody_said_otherwise():
    assert [t.id for t in bands_for(RUN, None)] == ["starting"]


def test_a_coachs_table_counts_only_for_whom_it_is_meant():
    women = table("Women", low=0.1, group=BandGroup(sex="female"))
    assert low_of([women]) == 0.6
    assert low_of([women], athlete=None) == 0.6, "nobody said that she is a woman"
    assert low_of([women], athlete=replace(ADULT, sex="female")) == 0.1
    handball = table("Handball", low=0.2, group=BandGroup(sport="handball"))
    assert low_of([handball], athlete=replace(ADULT, sport="handball")) == 0.2


def test_the_pattern_of_somebody_else_does_not_count():
    other = table("W9", BandOrigin.OWN_PATTERN, 0.2, athlete_id="b")
    squad, mine = (
        table("Squad", BandOrigin.OWN_PATTERN, 0.3),
        table("W7", BandOrigin.OWN_PATTERN, 0.4, athlete_id="a"),
    )
    assert low_of([other]) == 0.6
    assert low_of([other, squad]) == 0.3
    assert low_of([other, squad, mine]) == 0.4


def test_ends_of_a_band_belong_to_it_and_an_open_end_has_no_beyond():
    band = Band("knee_gap_m", Moment.TOUCHDOWN, 1, None, -0.2, None, "")
    assert band.beyond(-0.2) == 0.0
    assert band.beyond(-0.25) == pytest.approx(-0.05)
    assert band.beyond(99.0) == 0.0
    assert not band.holds("knee_gap_m", Moment.TOUCHDOWN, 0)
    assert band.holds("knee_gap_m", Moment.TOUCHDOWN, 40)


# The project's own table, written out here a second time by hand; common practice, no source.
EXPECTED = {
    ("spine_bend_deg", "set", 0): (0, 30), ("hip_share", "push", 0): (0.60, 1.00),
    ("trunk_lead_deg", "push", 0): (-5, 8), ("trunk_opening_deg", "push", 0): (-5, 25),
    ("trunk_deg", "toe_off", 0): (35, 65), ("trunk_deg", "toe_off", 2): (40, 70),
    ("trunk_deg", "toe_off", 3): (40, 75), ("trunk_deg", "toe_off", 4): (45, 85),
    ("trunk_deg", "toe_off", 9): (45, 85), ("trunk_shin_match_deg", "toe_off", 0): (-15, 15),
    ("touchdown_distance_m", "touchdown", 1): (-0.40, 0.05),
    ("touchdown_distance_m", "touchdown", 2): (-0.30, 0.15),
    ("touchdown_distance_m", "touchdown", 3): (-0.20, 0.25),
    ("touchdown_distance_m", "touchdown", 7): (-0.10, 0.35),
    ("shin_deg", "touchdown", 1): (30, 65), ("shin_deg", "touchdown", 2): (40, 75),
    ("shin_deg", "touchdown", 3): (45, 85), ("shin_deg", "touchdown", 4): (55, 95),
    ("knee_gap_m", "touchdown", 1): (-0.20, 0.40), ("knee_gap_m", "touchdown", 6): (-0.20, 0.40),
}  # fmt: skip
NONE = [
    ("projection_deg", "flight", 0), ("thigh_separation_deg", "flight", 1), ("shin_sweep_deg", "toe_off", 2),
    ("thigh_return_rate_deg_s", "flight", 2), ("contact_s", "toe_off", 1), ("flight_s", "flight", 1),
]  # fmt: skip


def test_the_starting_bands_are_those_of_the_table():
    starting = [starting_bands()]
    for (measure, moment, step), ends in EXPECTED.items():
        band = judging(starting, measure, Moment(moment), step).band
        assert (band.low, band.high, band.source) == (*ends, SOURCE)
    for measure, moment, step in NONE:
        assert judging(starting, measure, Moment(moment), step) is None
    assert {(b.measure, b.moment) for b in starting[0].bands} <= known_measures()


def test_every_measure_has_a_unit_in_its_name_or_is_a_ratio():
    for asked in (a for q in Question for a in ASKED[q]):
        assert asked.unit or asked.measure == "hip_share"
        assert re.fullmatch(r"[a-z' -]+", asked.name)
    assert [unit_of(m) for m in ("knee_gap_m", "thigh_return_rate_deg_s", "step_velocity_m_s")] == [
        "m",
        "deg/s",
        "m/s",
    ]


def test_applying_puts_no_table_twice():
    own = table("Club")
    assert applying([own, own], SPLIT, ADULT) == (own,)


_SPANS = st.tuples(
    st.integers(0, 6), st.none() | st.integers(0, 4), st.sampled_from(["shin_deg", "trunk_deg"])
)


@given(st.lists(_SPANS, max_size=8))
def test_bands_told_apart_judge_every_step_as_before_and_none_twice(spans):
    bands = tuple(
        Band(name, Moment.TOUCHDOWN, first, None if more is None else first + more, float(n), None, "test")
        for n, (first, more, name) in enumerate(spans)
    )
    apart = told_apart(bands)
    for name in ("shin_deg", "trunk_deg"):
        for step in range(14):
            place = name, Moment.TOUCHDOWN, step
            first = next((band.low for band in bands if band.holds(*place)), None)
            assert [band.low for band in apart if band.holds(*place)] == ([] if first is None else [first])
