"""What is judged together and what keeps an order, against two statistics packages (see judging_tables)."""

import csv

import numpy as np
import pytest

from analysis.reading.rhythm import nearest_in_order
from analysis.reading.telling import holm
from tests.truth.judging_tables import FOLDER


def rows(name):
    with (FOLDER / name).open(newline="") as file:
        return list(csv.reader(file))


def numbers(text):
    return [float(word) for word in text.split()]


def test_the_same_findings_stand_as_in_statsmodels():
    """``multipletests(p, alpha=0.05, method="holm")`` on 200 families, of which some findings stand."""
    table = rows("holm.csv")
    assert len(table) == 200
    told = [[word == "1" for word in stands.split()] for _, stands in table]
    assert 20 < sum(map(any, told)) < 190
    assert [holm(numbers(p)) for p, _ in table] == told


def test_the_nearest_series_in_order_is_that_of_scikit_learn():
    """``isotonic_regression`` on 100 series, half of them falling."""
    table = rows("isotonic.csv")
    assert len(table) == 100
    for rises, values, fitted in table:
        found = nearest_in_order(np.array(numbers(values)), rises=rises == "1")
        assert found.tolist() == pytest.approx(numbers(fitted), abs=1e-12)
