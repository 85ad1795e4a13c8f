"""A background is followed when a cloud or a phone changes the light; shifts are known by hand."""

import cv2
import numpy as np
import pytest

from analysis.background.chain import Chain, errors_from
from analysis.background.shaping import in_the_light_of

SHIFT = (3.4, -1.2)


def scene():
    """Soft blobs of all levels, 360 by 640."""
    chance = np.random.default_rng(3)
    rough = cv2.resize(chance.uniform(30, 220, (60, 100)), (640, 360), interpolation=cv2.INTER_CUBIC)
    return np.clip(rough + chance.normal(0, 1.0, rough.shape), 0, 255).astype(np.uint8)


def shifted(picture):
    """Its camera turned a little."""
    move = np.array([[1, 0, SHIFT[0]], [0, 1, SHIFT[1]]])
    return cv2.warpAffine(picture, move, picture.shape[::-1], borderMode=cv2.BORDER_REPLICATE)


@pytest.mark.parametrize(("gain", "more"), [(1.0, 0), (0.6, 30), (1.3, -40)])
def test_a_picture_in_another_light_is_tied_as_well(gain, more):
    before = scene()
    after = np.clip(shifted(before) * gain + more, 0, 255).astype(np.uint8)
    chain = Chain()
    assert [chain.add(before), chain.add(after)] == [0, 1]
    back = chain.ties[1].to_base
    assert back[:2, 2] == pytest.approx((-SHIFT[0], -SHIFT[1]), abs=0.1)
    assert errors_from(chain.ties, 0, before.shape)[1] < 0.2


def test_the_light_is_undone_where_it_changed_and_left_alone_where_not():
    before = scene()
    darker = (before * 0.6 + 30).astype(np.uint8)
    off = np.abs(in_the_light_of(darker, before).astype(int) - before)
    assert off.max() <= 5  # whole levels of the darker one, made 1.7 times as large
    assert in_the_light_of(before, before) is before


def test_only_what_both_show_tells_the_light():
    """The other picture was warped by half its width; what lies beyond its edge is no part of it."""
    before = scene()
    half = np.array([[1.0, 0, 320], [0, 1, 0], [0, 0, 1]])
    brought = np.roll(before, 320, axis=1)
    brought[:, :320] = 255
    seen = np.roll(before, 320, axis=1)
    assert in_the_light_of(seen, brought, half) is seen
