"""How likely each moment is, from signals laid down by hand: a foot in flight, at rest, in flight again."""

import numpy as np
import pytest

from analysis.derive.footfalls.chances import MOMENTS, UNIT_S, Chances, chances_of
from analysis.derive.footfalls.signals import Signals


def signals_of_stand(on, off, rate_hz, first=0, seconds=0.6):
    """All five at rest from ``on`` to ``off``, s, and within 20 ms on either side risen."""
    times = (first + np.arange(round(seconds * rate_hz))) / rate_hz
    away = np.clip(np.maximum(on - times, times - off) / 0.020, 0.0, 1.0)
    return Signals(first, np.repeat(away[:, None], 5, axis=1))


@pytest.mark.parametrize("rate_hz", [120.0, 240.0])
@pytest.mark.parametrize("late", [-4, 0, 5])
@pytest.mark.parametrize(("kind", "at_s"), [("touchdown", 0.2), ("toe-off", 0.35)])
def test_the_event_is_where_rest_begins_and_ends_though_the_strip_tells_it_elsewhere(
    kind, at_s, late, rate_hz
):
    found = chances_of(signals_of_stand(0.2, 0.35, rate_hz), round(at_s * rate_hz) + late, rate_hz, kind)
    # within 15 ms: a real foot's edges move before its tip leaves, these all at once
    assert found.best / rate_hz == pytest.approx(at_s, abs=0.015)
    assert found.share.sum() == pytest.approx(1.0)


def test_moments_are_told_in_frames_of_the_strip():
    plain = chances_of(signals_of_stand(0.2, 0.35, 240.0), 48, 240.0, "touchdown")
    later = chances_of(signals_of_stand(0.2, 0.35, 240.0, first=20), 48, 240.0, "touchdown")
    assert plain.times == pytest.approx(47.5 + MOMENTS * UNIT_S * 240)
    assert later.times == pytest.approx(plain.times)


def test_how_likely_a_stretch_is_and_what_is_told_by_others():
    one = Chances(np.arange(5.0), np.array([0.0, 0.1, 0.6, 0.3, 0.0]))
    assert one.within(1.0, 3.0) == pytest.approx(0.9)
    assert one.best == pytest.approx(2.2)  # by hand: 0.1 + 1.2 + 0.9
    told = one.times_likely(np.array([0, 1.0, 0, 1.0, 0]))
    assert told.share == pytest.approx([0, 0.25, 0, 0.75, 0])
    assert one.times_likely(np.zeros(5)) is one
