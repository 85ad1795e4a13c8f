"""To which frame undo goes: the one on which the edit is seen."""

from dataclasses import replace

import pytest

from analysis.values.command import Change, Command, Kind
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Footfall, GroundMark, Line, LineKind, Run, Side, StartPush
from app.marking.where import frame_of_edit


def frame(number: int) -> FrameNumber:
    return FrameNumber(number)


RUN = Run("run", "film", "", frame(0), frame(400))
FOOT = Footfall("a", Side.LEFT, frame(100), frame(140))


@pytest.mark.parametrize(
    ("kind", "old", "new", "there"),
    [
        (Kind.POINT, None, BodyPoint(frame(7), "head", 1, 2), 7),
        (Kind.LINE, Line("l", frame(8), LineKind.FREE, None, (0, 0), (9, 9)), None, 8),
        (Kind.MARK, None, GroundMark("m", 0, 0, frame(3), 1, 1), None),
        (Kind.FOOTFALL, None, FOOT, 100),
        (Kind.FOOTFALL, FOOT, None, 100),
        (Kind.FOOTFALL, FOOT, replace(FOOT, toe_off=frame(150)), 150),
        (Kind.FOOTFALL, FOOT, replace(FOOT, toe_off=None), 140),
        (Kind.FOOTFALL, FOOT, replace(FOOT, side=Side.RIGHT), 100),
        (Kind.RUN, RUN, replace(RUN, start=StartPush(rear_toe_off=frame(50))), 50),
        (Kind.RUN, replace(RUN, start=StartPush(frame(10))), RUN, 10),
        (Kind.RUN, RUN, replace(RUN, notes="windy"), None),
    ],
)
def test_the_frame_of_an_edit(kind, old, new, there):
    assert frame_of_edit(Command("", (Change(kind, "id", old, new, "run"),))) == there
