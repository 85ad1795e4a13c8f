"""Words in pictures: what stands beside a name from the right to the left keeps its place."""

import numpy as np
import pytest
from PIL import Image, ImageDraw, features

from analysis.report.lettering import font_for, in_order, one_line
from tests.helpers.skips import MARK

PX = 28
NAMES = ("\u05e9\u05dc\u05d5\u05dd", "A \u0639\u0631\u0628\u064a")


def ink(text, font):
    """The text drawn with its end at the right edge."""
    picture = Image.new("L", (500, 60))
    ImageDraw.Draw(picture).text((499, 30), text, 255, font, anchor="rm")
    return np.asarray(picture).astype(int)


def apart(alone, text, font):
    """How much the end of a drawn text differs from words drawn alone: a share of their ink, at the best
    place within a pixel, since words begin between pixels.
    """
    wanted, found = ink(alone, font), ink(text, font)
    begin = np.flatnonzero(wanted.any(axis=0))[0]
    shifted = [np.roll(found, shift, axis=1)[:, begin:] for shift in (-1, 0, 1)]
    return min(np.abs(one - wanted[:, begin:]).sum() for one in shifted) / wanted.sum()


@pytest.mark.skipif(not features.check("raqm"), reason=f"{MARK}Pillow with Raqm")
@pytest.mark.parametrize("name", NAMES)
def test_what_follows_a_name_from_the_right_to_the_left_is_not_turned_round(name):
    """A day's digits and signs, and the name of a run, stand at the end as if they stood alone."""
    font = font_for(name, PX)
    assert apart("=1+1", in_order([name, "=1+1"]), font) < 0.2
    assert apart("=1+1", f"{name} · =1+1", font) > 0.5  # without the marks it is turned round


def test_without_a_layout_of_scripts_no_mark_is_drawn(monkeypatch):
    monkeypatch.setattr(features, "check", lambda _: False)
    assert one_line(in_order(["a", "", "b\nc"])) == "a · b c"
