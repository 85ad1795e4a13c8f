"""Which draft an answer is meant for. The frames are invented; what is expected follows from them by hand."""

from dataclasses import replace

import pytest

from analysis.values.command import Kind
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import Footfall, Run, Side, StartPush
from app.marking.events import EventRef
from app.marking.in_hand import draft_in_hand, event_nearest
from app.selection import PartRef

AT_240 = FrameTimes.from_seconds([k / 240 for k in range(720)])
AT_30 = FrameTimes.from_seconds([k / 30 for k in range(90)])


def a_run():
    """The start is proposed, the first contact tagged, two more proposed; the last one's end is not seen."""
    frames = ((100, 140, False), (200, 240, True), (260, None, True))
    footfalls = tuple(
        Footfall(
            str(number), Side.LEFT, FrameNumber(down), None if up is None else FrameNumber(up), draft=draft
        )
        for number, (down, up, draft) in enumerate(frames)
    )
    start = StartPush(first_movement=FrameNumber(20), drafts=("first_movement",))
    return Run("run", "film", "", FrameNumber(0), FrameNumber(719), footfalls=footfalls, start=start)


@pytest.mark.parametrize(
    ("held", "frame", "expected"),
    [
        (EventRef("1", "toe_off"), 258, EventRef("1", "toe_off")),  # held goes before nearer
        (EventRef("1", "touchdown"), 300, EventRef("1", "touchdown")),  # a quarter of a second after 240
        (EventRef("1", "touchdown"), 262, EventRef("1", "touchdown")),
        (EventRef("1", "touchdown"), 260, EventRef("2", "touchdown")),  # within the other's contact
        (EventRef("1", "touchdown"), 301, EventRef("2", "touchdown")),
        (EventRef("2", "touchdown"), 321, None),
        (EventRef("0", "touchdown"), 195, None),  # a tag is held
        (PartRef(Kind.MARK, "m"), 200, None),
        (EventRef("gone", "touchdown"), 200, None),
        (None, 258, EventRef("2", "touchdown")),
        (None, 242, EventRef("1", "toe_off")),
        (None, 202, EventRef("1", "touchdown")),
        (None, 139, None),  # 61 frames before 200
        (None, 25, EventRef("", "first_movement")),
    ],
)
def test_the_held_draft_goes_first_then_the_nearest(held, frame, expected):
    assert draft_in_hand(a_run(), held, frame, AT_240) == expected


def test_few_frames_a_second_reach_farther():
    held = EventRef("", "first_movement")
    assert draft_in_hand(a_run(), held, 30, AT_30) == held
    assert draft_in_hand(a_run(), held, 31, AT_30) is None


def test_next_to_the_held_one_another_s_contact_takes_nothing():
    run = a_run()
    close = replace(run.footfalls[2], touchdown=FrameNumber(242))
    run = replace(run, footfalls=(*run.footfalls[:2], close))
    assert draft_in_hand(run, EventRef("1", "toe_off"), 242, AT_30) == EventRef("1", "toe_off")
    assert draft_in_hand(run, EventRef("1", "toe_off"), 243, AT_30) == EventRef("1", "toe_off")


def test_the_nearer_event_of_a_contact():
    assert event_nearest(a_run(), "1", 221) == EventRef("1", "toe_off")
    assert event_nearest(a_run(), "1", 220) == EventRef("1", "touchdown")
    assert event_nearest(a_run(), "2", 400) == EventRef("2", "touchdown")
