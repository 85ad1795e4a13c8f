"""The search for unused objects rests during a reading and goes on after it, whatever happens."""

import gc

import pytest

from analysis.reading import read
from analysis.reading.stages import KEPT
from analysis.reading.uncollected import uncollected
from tests.bench.bench_read import followed, renewed


@pytest.fixture
def searching():
    """Puts it back as it was, whatever a test does."""
    was = gc.isenabled()
    gc.enable()
    yield
    if not was:
        gc.disable()


@uncollected
def rests(fails: bool = False) -> bool:
    if fails:
        raise ValueError("no")
    return not gc.isenabled()


def test_it_rests_during_the_work_and_goes_on_after_it(searching):
    assert rests()
    assert gc.isenabled()


def test_it_goes_on_after_work_that_fails(searching):
    with pytest.raises(ValueError, match="no"):
        rests(fails=True)
    assert gc.isenabled()


def test_it_stays_off_for_somebody_who_turned_it_off(searching):
    gc.disable()
    assert rests()
    assert not gc.isenabled()


def test_work_within_such_work_does_not_wake_it(searching):
    assert uncollected(lambda: (rests(), not gc.isenabled()))() == (True, True)
    assert gc.isenabled()


def test_a_reading_leaves_nothing_behind_that_holds_on_to_itself(searching):
    """Else the arrays of every reading would stay in memory until somebody searches."""
    evidence = followed()
    read(evidence)
    gc.collect()
    gc.disable()
    for _ in range(KEPT + 2):
        read(renewed(evidence))
    assert gc.collect() == 0
