"""An own pattern from runs that the coach named as good."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analysis.reading.patterns import own_pattern
from analysis.values.answers import Answer
from analysis.values.bands import BandOrigin
from analysis.values.errors import BandError
from analysis.values.posture import Moment
from analysis.values.questions import Question, Verdict
from tests.analysis.reading.compared_runs import reading
from tests.analysis.reading.judged_runs import judged


def good(value, share=0.8):
    """A run with these numbers."""
    rows = [("trunk_lead_deg", Moment.PUSH, 0, value, 1.0), ("hip_share", Moment.PUSH, 0, share, 0.01)]
    return replace(reading(None), questions=judged(rows).answers)


def test_a_pattern_is_where_a_further_good_run_would_lie():
    """Mean 3, s 1.5811, n 5: t(.975, 4) = 2.776 (any table) times s sqrt(1.2) = 4.808."""
    found = own_pattern([good(v) for v in (1.0, 2.0, 3.0, 4.0, 5.0)], "p", "W7", "a")
    (band,) = [b for b in found.bands if b.measure == "trunk_lead_deg"]
    assert (band.low, band.high) == pytest.approx((3 - 4.808, 3 + 4.808), abs=1e-3)
    assert band.source == "own pattern, 5 runs"
    assert (found.origin, found.athlete_id, found.runs) == (BandOrigin.OWN_PATTERN, "a", 5)


def test_ninety_five_of_a_hundred_further_runs_lie_in_it():
    rng = np.random.default_rng(2)
    inside = []
    for _ in range(400):
        *runs, further = rng.normal(3.0, 2.0, 6)
        (band, _) = own_pattern([good(v) for v in runs], "p", "W7", None).bands
        inside.append(band.low <= further <= band.high)
    assert 0.92 < np.mean(inside) < 0.98


def test_four_good_runs_are_too_few_and_so_are_four_numbers():
    with pytest.raises(BandError, match="at least 5 good runs; 4 are named"):
        own_pattern([good(v) for v in range(4)], "p", "W7", "a")
    found = own_pattern([good(v, None if v == 0 else 0.8) for v in range(5)], "p", "W7", "a")
    assert [b.measure for b in found.bands] == ["trunk_lead_deg"]
    nothing = Answer(Question.LAUNCH, Verdict.NOT_JUDGED, "", (), (), ())
    with pytest.raises(BandError, match="None of these runs' measures"):
        own_pattern([replace(reading(None), questions=(nothing,))] * 5, "p", "W7", "a")
