"""A mean over runs that were read by the same marks keeps the marks' errors whole."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read
from analysis.reading.compare import compare, mean_of
from analysis.reading.numbers import numbers_of
from analysis.reading.set_ups import mean_u, set_ups_of
from analysis.values.comparison import MeasureKey
from analysis.values.estimate import Estimate
from tests.analysis.reading.runs import evidence_of, sample

SPLIT = MeasureKey("split_from_front_toe_off_s", x_m=10.0)
LENGTH = MeasureKey("step_length_m", step=3)
SHEET, _ = sample("wing_day1")


def moved(evidence, rng):
    """The marks clicked anew, everything else as it was."""
    marks = tuple(
        replace(m, u=m.u + rng.normal(0, m.error_px), v=m.v + rng.normal(0, m.error_px))
        for m in evidence.run.marks
    )
    return replace(evidence, run=replace(evidence.run, marks=marks))


def test_what_lasts_is_what_marks_that_are_clicked_anew_make_of_a_number():
    """60 clickings of the marks alone; the standard deviation of 60 is good to 9 %. The distance of the
    camera, which lasts too, stays: it makes little of either.
    """
    evidence = evidence_of(SHEET)
    rng = np.random.default_rng(3)
    found = [numbers_of(read(moved(evidence, rng))) for _ in range(60)]
    there = numbers_of(read(evidence))
    for key in (SPLIT, LENGTH, MeasureKey("local_m_s", x_m=10.0)):
        spread = float(np.std([one[key].value for one in found], ddof=1))
        assert there[key].lasting == pytest.approx(spread, rel=0.3), key
        assert 0 < there[key].lasting < there[key].u
    assert there[MeasureKey("contact_s", step=3)].lasting == 0.0


def test_the_error_of_a_mean_is_that_of_drawn_runs():
    """Two runs by the same marks and one by others, 200,000 days drawn."""
    rng = np.random.default_rng(4)
    lasting, own = np.array([0.8, 1.1, 0.5]), np.array([1.0, 0.7, 1.3])
    set_ups = (0, 0, 2)
    common = rng.standard_normal((200_000, 3))[:, list(set_ups)]
    runs = lasting * common + own * rng.standard_normal((200_000, 3))
    numbers = [Estimate(0.0, math.hypot(a, b), 0.0, 0.0, a) for a, b in zip(lasting, own, strict=True)]
    assert mean_u(numbers, set_ups) == pytest.approx(float(runs.mean(axis=1).std()), rel=0.01)


def test_runs_of_the_same_marks_are_known_as_such_and_others_are_not():
    evidence = evidence_of(SHEET)
    anew = moved(evidence, np.random.default_rng(5))
    lent = tuple(replace(m, id="a" * 31 + str(n)) for n, m in enumerate(evidence.run.marks))
    tied = tuple(replace(m, u=m.u + 3.0) for m in lent)  # of one camera place, seen from a film tied to it
    runs = [replace(evidence, run=replace(evidence.run, marks=marks)) for marks in (lent, tied)]
    readings = [read(one) for one in (evidence, anew, evidence, *runs)]
    assert set_ups_of(readings) == (0, 1, 0, 0, 0)
    bare = read(replace(evidence, run=replace(evidence.run, marks=())))
    assert set_ups_of([bare, bare]) == (0, 1)


def test_a_mean_over_runs_of_the_same_marks_is_less_certain_than_over_runs_with_marks_of_their_own():
    evidence = evidence_of(SHEET)
    rng = np.random.default_rng(6)
    same = [read(evidence)] * 3
    own = [read(moved(evidence, rng)) for _ in range(3)]
    means = [compare(side, side).row(SPLIT).before for side in (same, own)]
    one = numbers_of(same[0])[SPLIT]
    assert means[1].u == pytest.approx(one.u / math.sqrt(3), rel=0.1)
    assert one.lasting < means[0].u < one.u
    expected = math.hypot(one.lasting, math.sqrt((one.u**2 - one.lasting**2) / 3))
    assert means[0].u == pytest.approx(expected, rel=1e-9)
    assert means[0].half_width / means[0].u == pytest.approx(one.half_width / one.u, rel=1e-6)


def test_a_mean_of_times_knows_nothing_of_marks():
    numbers = [numbers_of(read(evidence_of(SHEET)))] * 3
    key = MeasureKey("contact_s", step=3)
    found = mean_of(key, numbers, (0, 0, 0))
    assert found.u == pytest.approx(numbers[0][key].u / math.sqrt(3))
