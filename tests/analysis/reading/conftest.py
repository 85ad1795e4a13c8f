"""The first sample run, as it is marked, and its reading."""

import pytest

from analysis.reading import read
from tests.analysis.reading.runs import evidence_of, sample


@pytest.fixture(scope="session")
def evidence():
    return evidence_of(sample("wing_day1")[0])


@pytest.fixture(scope="session")
def reading(evidence):
    return read(evidence)
