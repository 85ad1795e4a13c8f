"""The coach's own tagging error, from a run tagged twice."""

import math
from dataclasses import replace

import numpy as np
import pytest

from analysis.ground.carried import estimate
from analysis.reading import read
from analysis.steps.events import read_event
from analysis.steps.retagging import tagging_error, tagging_range, tagging_words
from analysis.values.estimate import NoValue
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import Footfall, Run, Side, StartPush
from analysis.values.tagging import TaggingError
from tests.analysis.reading.runs import evidence_of, sample

EVIDENCE = evidence_of(sample("wing_day1")[0])
TIMES = EVIDENCE.film.times


def moved(run, shifts):
    """The run with its footfalls' tags moved by frames, touchdown and toe-off in turn."""
    each = iter(shifts)
    return replace(
        run,
        start=StartPush(),
        footfalls=tuple(
            replace(
                f,
                touchdown=FrameNumber(f.touchdown + next(each)),
                toe_off=None if f.toe_off is None else FrameNumber(f.toe_off + next(each)),
            )
            for f in run.footfalls
        ),
    )


def test_known_shifts_give_their_standard_deviation():
    shifts = [1, -1, 0, 2, 0, -2, 1, 0, -1, 0, 0, 1, -1, 0, 2, -2, 1, -1, 0, 0]
    first = replace(EVIDENCE.run, start=StartPush())
    found = tagging_error(first, moved(first, shifts), TIMES)
    assert found.pairs == sum((f.touchdown is not None) + (f.toe_off is not None) for f in first.footfalls)
    assert found.s_s == pytest.approx(np.std(shifts[: found.pairs], ddof=1) / 240 / math.sqrt(2), rel=1e-3)


def test_a_shift_that_all_tags_share_does_not_count():
    first = replace(EVIDENCE.run, start=StartPush())
    assert tagging_error(first, moved(first, [2] * 20), TIMES).s_s == pytest.approx(0.0, abs=1e-6)


def test_it_finds_the_coach_s_own_scatter():
    """Two taggings judged with 4 ms each, many times over: the confidence interval holds 4 ms."""
    rng = np.random.default_rng(4)
    held, found = [], []
    first = replace(EVIDENCE.run, start=StartPush())
    for _ in range(60):
        one, two = (moved(first, [round(s) for s in rng.normal(0, 0.004 * 240, 20)]) for _ in range(2))
        error = tagging_error(one, two, TIMES)
        low, high = tagging_range(error)
        # whole frames add d^2/12 to each tag: that is in the scatter of the tags
        true = math.sqrt(0.004**2 + (1 / 240) ** 2 / 12)
        held.append(low <= true <= high)
        found.append(error.s_s)
    assert np.mean(held) >= 0.85
    assert np.sqrt(np.mean(np.square(found))) == pytest.approx(true, rel=0.1)


@pytest.mark.parametrize(("pairs", "t"), [(6, 2.571), (11, 2.228), (31, 2.042), (10**6, 1.960)])
def test_few_pairs_widen_it_by_student_s_t(pairs, t):
    """Printed tables of t, 95 % two-sided, one degree of freedom less than pairs (JCGM 100:2008, G.3)."""
    event = read_event(TIMES, 60, None, TaggingError(0.05, pairs))
    own = 0.05 * t / 1.96
    assert estimate(event.time).u == pytest.approx(math.hypot(1 / 240 / math.sqrt(12), own), rel=1e-3)


@pytest.mark.parametrize("rate", [30, 240])
def test_six_pairs_hold_contact_times_as_often_as_they_say(rate):
    """Coaches whose tags are early, right or late by a whole frame beside a judged time of 2.9 ms: each tags
    three contacts twice, then another one, whose true length lies in the stated interval.
    """
    rng = np.random.default_rng(rate)
    times = FrameTimes.from_seconds([n / rate for n in range(2 * rate)])
    held = asked = 0
    for _ in range(1200):
        downs = 0.3 + 0.3 * np.arange(4) + rng.uniform(0, 1 / rate, 4)
        events = np.stack([downs, downs + rng.uniform(0.1, 0.15, 4)])
        first, second = (
            np.ceil((events + rng.normal(0, 0.0029, (2, 4))) * rate) + rng.integers(-1, 2, (2, 4))
            for _ in range(2)
        )
        one, two = (contacts(tags[:, :3]) for tags in (first, second))
        error = tagging_error(one, two, times)
        if isinstance(error, NoValue):  # two tags lie 0.1 s apart, as three frames at 30 a second do
            continue
        asked += 1
        down, off = (read_event(times, int(tag), None, error) for tag in first[:, 3])
        shown = estimate(off.time - down.time)
        held += shown.low <= events[1, 3] - events[0, 3] <= shown.high
    assert asked > 1000
    assert held / asked >= 0.95 - 2 * math.sqrt(0.95 * 0.05 / asked)


def contacts(tags):
    """A run of these tagged frames, touchdowns above toe-offs, all on one foot."""
    falls = tuple(
        Footfall(f"f{n}", Side.LEFT, FrameNumber(int(down)), FrameNumber(int(off)))
        for n, (down, off) in enumerate(tags.T)
    )
    return Run("r", "f", "r", FrameNumber(0), FrameNumber(9), footfalls=falls)


def test_too_few_events_say_so():
    short = replace(EVIDENCE.run, start=StartPush(), footfalls=EVIDENCE.run.footfalls[:2])
    found = tagging_error(short, short, TIMES)
    assert isinstance(found, NoValue)
    assert "4 events" in found.reason


def test_the_confidence_interval_is_chi_square():
    # 20 pairs, 19 degrees of freedom: chi-square 8.907 and 32.852 (printed tables)
    low, high = tagging_range(TaggingError(0.004, 20))
    assert low == pytest.approx(0.004 * math.sqrt(19 / 32.852), rel=1e-3)
    assert high == pytest.approx(0.004 * math.sqrt(19 / 8.907), rel=1e-3)
    assert "20 events" in tagging_words(TaggingError(0.004, 20))


def test_it_replaces_the_doubt_of_five_milliseconds():
    event = read_event(TIMES, 60, None, TaggingError(0.002, 20))
    # Student's t for 19 degrees of freedom: 2.093 (printed tables)
    own = 0.002 * 2.093 / 1.96
    assert estimate(event.time).u == pytest.approx(math.hypot(1 / 240 / math.sqrt(12), own), rel=1e-3)
    sure = read_event(TIMES, 60, 0, TaggingError(0.002, 20))
    assert estimate(sure.time).u == pytest.approx(1 / 240 / math.sqrt(12), rel=1e-6)


def test_a_reading_uses_it_for_steps_and_start():
    usual = read(EVIDENCE)
    own = read(replace(EVIDENCE, tagging=TaggingError(0.0005, 20)))
    assert own.steps[2].contact_s.u < usual.steps[2].contact_s.u / 2
    assert own.start.front_foot_push_s.u < usual.start.front_foot_push_s.u / 2


def test_what_is_only_proposed_is_no_tag_of_the_coach_s():
    first = replace(EVIDENCE.run, start=StartPush())
    drafted = replace(first, footfalls=tuple(replace(f, draft=True) for f in first.footfalls))
    assert isinstance(tagging_error(first, drafted, TIMES), NoValue)
    assert isinstance(tagging_error(drafted, first, TIMES), NoValue)


def test_a_coach_who_repeats_every_frame_is_not_told_of_nought():
    first = replace(EVIDENCE.run, start=StartPush())
    found = tagging_error(first, first, TIMES)
    assert found.s_s == 0.0
    assert "too small to be seen" in tagging_words(found)
    event = read_event(TIMES, 60, None, found)
    assert estimate(event.time).u == pytest.approx(1 / 240 / math.sqrt(12), rel=1e-3)


def test_a_reading_says_whose_doubt_it_carries():
    own = read(replace(EVIDENCE, tagging=TaggingError(0.0031, 20)))
    assert any("Your own tagging error is 3.1 ms, from 20 events" in note for note in own.notes)
    assert not any("second tagging would show" in note for note in own.notes)
    assert any("second tagging would show" in note for note in read(EVIDENCE).notes)
