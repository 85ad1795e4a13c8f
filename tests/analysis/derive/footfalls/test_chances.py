"""What is told from how likely each moment is."""

import numpy as np
import pytest

from analysis.derive.footfalls.chances import Chances


def test_how_likely_a_stretch_is_and_what_is_told_by_others():
    one = Chances(np.arange(5.0), np.array([0.0, 0.1, 0.6, 0.3, 0.0]))
    assert one.within(1.0, 3.0) == pytest.approx(0.9)
    assert one.best == pytest.approx(1.5 + 0.4 / 0.6)  # by hand: 0.4 of the 0.6 from 1.5 to 2.5
    told = one.times_likely(np.array([0, 1.0, 0, 1.0, 0]))
    assert told.share == pytest.approx([0, 0.25, 0, 0.75, 0])
    assert one.times_likely(np.zeros(5)) is one
