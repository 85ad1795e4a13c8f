"""The line between any two body points is read as the named angles are. Against those, which are held against
published tables elsewhere.
"""

from dataclasses import replace

import numpy as np

from analysis.reading import read
from tests.app.run.demo_reading import demo_evidence, demo_reading


def test_from_ankle_to_knee_it_is_the_shin():
    asked = replace(demo_evidence(), lines_between=(("right_ankle", "right_knee"), ("left_toe", "head")))
    shin = next(s for s in demo_reading().series if (s.measure, s.side) == ("shin_deg", "right"))
    reading = read(asked)
    line, other = reading.lines_between
    assert (line.between, other.between) == (("right_ankle", "right_knee"), ("left_toe", "head"))
    assert np.array_equal(line.frames, shin.frames)
    np.testing.assert_allclose(line.value, shin.value)
    np.testing.assert_allclose(line.u, shin.u)
    assert reading.series == demo_reading().series


def test_a_line_whose_points_are_nowhere_is_not_read():
    bare = replace(demo_evidence(), lines_between=(("right_ankle", "right_knee"),), tracks=None)
    assert not read(replace(bare, run=replace(bare.run, points=()))).lines_between
