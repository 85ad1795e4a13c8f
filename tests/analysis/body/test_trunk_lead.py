"""The interval of trunk lead holds the truth beside a sample clip; the renderer shares no code with it.

The clip is that of a body that moves nearly as one: there the interval is narrowest and decides on the sign.
"""

import pytest

from tests.bench.bench_trunk_lead import leads, share_held
from tests.bench.posture_truth import CENTIMETRE, sample_runs

DRAWS = 300


@pytest.fixture(scope="module")
def drawn():
    """Three hundred trunk leads, points clicked on every 12th frame, joint centres a centimetre off."""
    _, as_one = sample_runs()
    return list(leads(as_one, CENTIMETRE, DRAWS, seed=1))


def test_the_interval_holds_as_often_as_it_says(drawn):
    """95 % is stated; three hundred draws are good to 1.3."""
    assert share_held(drawn) >= 0.93


def test_an_interval_half_as_wide_would_not_hold(drawn):
    within = [abs(lead.off) <= 1.96 * lead.u / 2 for lead in drawn]
    assert sum(within) / len(within) < 0.93
