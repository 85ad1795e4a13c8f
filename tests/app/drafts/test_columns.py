"""Where contacts stand on the strip: a placed tip comes first, then the proposal, then what stands there.

The strip and the frames are invented; what is expected follows from them by hand.
"""

from dataclasses import replace

import numpy as np

from analysis.jobs.drafted import Proposal, StripPicture
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Footfall, Run, Side
from app.drafts.columns import columns_on, tip_columns


def test_the_best_word_on_a_contact_is_taken():
    levels = np.zeros((100, 200), np.uint8)
    levels[50:61, 140:149] = 90
    strip = StripPicture(levels, -20.0, 0.0, 100.0)  # column 0 is pixel -20
    proposals = (
        Proposal(Side.LEFT, FrameNumber(10), FrameNumber(20), 40.0, 0.9),
        Proposal(Side.RIGHT, FrameNumber(30), FrameNumber(40), 80.0, 0.9),
    )
    placed = Footfall("placed", Side.LEFT, FrameNumber(11), FrameNumber(21))
    drafted = Footfall("drafted", Side.RIGHT, FrameNumber(28), FrameNumber(39), draft=True)
    by_hand = Footfall("by hand", Side.LEFT, FrameNumber(50), FrameNumber(61))
    open_end = Footfall("open", Side.RIGHT, FrameNumber(70), None)
    run = Run("r", "f", "", FrameNumber(0), FrameNumber(99), footfalls=(placed, drafted, by_hand, open_end))
    run = replace(run, points=(BodyPoint(FrameNumber(11), "left_toe", 27.0, 100.0),))
    columns = columns_on(strip, proposals, run)
    assert columns["placed"] == 47.0
    assert columns["drafted"] == 80.0
    assert abs(columns["by hand"] - 144.0) <= 1.0
    assert "open" not in columns
    assert tip_columns(proposals, run.footfalls) == {"placed": 40.0, "drafted": 80.0}
