"""A few runs with known faults are read as they were made; the bench asks hundreds of them."""

import pytest

from analysis.reading import read
from tests.bench.judged_truth import FAULTS, LONG_STEP, NOTHING, simulate

# starting bands are too wide for it, and a pattern takes eight runs more
TOLD = [fault for fault in FAULTS if "starting bands" not in fault.name and not fault.pattern]


@pytest.mark.parametrize("fault", TOLD, ids=lambda fault: fault.name)
def test_it_begins_where_it_was_made_to_begin(fault):
    reading = read(simulate(7, fault))
    assert reading.first_cause.question is fault.first
    contacts = {one.second_step for one in reading.rhythm.breaks if one.measure == "contact_s"}
    assert contacts == ({LONG_STEP} if fault.long else set())


@pytest.mark.parametrize("rate", [240, 30])
def test_where_nothing_is_wrong_nothing_is_named(rate):
    """At 5 % over a run one of six may be named by chance; more would be another rule."""
    named = [read(simulate(seed, NOTHING, rate)).first_cause.question for seed in range(6)]
    assert sum(one is not None for one in named) <= 1
