"""Which frames of a film that turns are mapped: thirty of a captured second at most, evenly."""

import numpy as np
import pytest

from analysis.background.follow import mapped_frames


@pytest.mark.parametrize("rate", [24.0, 29.97, 33.0, 50.0, 59.94, 100.0, 120.0, 240.0, 300.0])
def test_no_more_than_thirty_of_a_second_and_none_far_apart(rate):
    seconds = np.arange(round(4 * rate)) / rate
    chosen = mapped_frames(seconds, 30.0)
    assert chosen[0] == 0
    assert chosen[-1] == len(seconds) - 1
    assert (len(chosen) - 2) / (seconds[-1] - seconds[0]) <= 30.0
    # as evenly as whole frames allow, and no thinner than need be
    assert np.diff(seconds[chosen]).max() <= max(1 / 30, 1 / rate) + 1 / rate
    assert (len(chosen) - 1) / (seconds[-1] - seconds[0]) > 0.66 * min(30.0, rate)


def test_every_frame_of_an_uneven_film_of_thirty_is_mapped():
    seconds = np.cumsum(np.random.default_rng(1).uniform(0.0333, 0.035, 90))
    assert mapped_frames(seconds, 30.0) == list(range(90))


def test_after_a_gap_frames_go_on_as_before_it():
    seconds = np.concatenate([np.arange(24) / 240, 2.0 + np.arange(48) / 240])
    chosen = np.array(mapped_frames(seconds, 30.0))
    after = seconds[chosen[seconds[chosen] >= 2.0]]
    assert np.diff(after).min() >= 0.8 / 30 - 1e-9
