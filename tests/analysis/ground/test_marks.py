"""Which map marks can make."""

from analysis.ground.marks import spans_plane
from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark


def test_many_marks_are_judged_by_their_outermost():
    row = [GroundMark(str(i), i * 0.1, 0.0, FrameNumber(0), 10.0 * i, 400.0) for i in range(80)]
    assert not spans_plane(row)
    poles = [GroundMark(f"p{x}", x, 1.2, FrameNumber(0), 100.0 * x, 280.0) for x in (0.0, 7.0)]
    assert spans_plane([*row, *poles])
