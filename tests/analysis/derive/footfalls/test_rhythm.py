"""What the others of a run say about a contact, with chances laid down by hand."""

import numpy as np
import pytest

from analysis.derive.footfalls.chances import Chances
from analysis.derive.footfalls.rhythm import in_rhythm

RATE = 240.0


def around(*peaks):
    """Chances about 40 moments, so likely at some of them: (frame, weight)."""
    times = np.arange(peaks[0][0] - 20.0, peaks[0][0] + 21.0)
    share = sum(weight * np.exp(-0.5 * ((times - at) / 0.8) ** 2) for at, weight in peaks) + 1e-6
    return Chances(times, share / share.sum())


def test_a_doubtful_toe_off_is_taken_as_the_others_last():
    downs = [around((60 * k, 1.0)) for k in range(5)]
    ups = [around((60 * k + 36 - k, 1.0)) for k in range(5)]
    ups[2] = around((60 * 2 + 46, 0.6), (60 * 2 + 34, 0.4))  # 34 is as the others
    assert 165 < ups[2].best < 166.5  # as likely earlier as later: within the larger of the two
    settled = in_rhythm(downs, ups, [True] * 5, RATE)
    assert settled[1][2].best == pytest.approx(154, abs=0.5)


def test_a_contact_that_is_seen_well_may_last_otherwise():
    downs = [around((60 * k, 1.0)) for k in range(5)]
    ups = [around((60 * k + 36, 1.0)) for k in range(5)]
    ups[3] = around((60 * 3 + 45, 1.0))
    settled = in_rhythm(downs, ups, [True] * 5, RATE)
    assert settled[1][3].best == pytest.approx(225, abs=0.6)


def test_two_contacts_have_no_rhythm():
    downs, ups = [around((0, 1.0)), around((60, 1.0))], [around((30, 1.0)), around((90, 1.0))]
    assert in_rhythm(downs, ups, [True, True], RATE) == (downs, ups)


def test_a_contact_cut_off_by_the_film_says_nothing():
    downs = [around((60 * k, 1.0)) for k in range(5)]
    ups = [around((60 * k + 36, 1.0)) for k in range(4)] + [around((60 * 4 + 2, 1.0))]
    settled = in_rhythm(downs, ups, [True] * 4 + [False], RATE)
    assert settled[1][4] is ups[4]
    assert settled[1][1].best == pytest.approx(96, abs=0.3)
