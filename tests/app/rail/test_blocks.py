"""What stands on the rail, without a window."""

from dataclasses import replace
from itertools import pairwise

import pytest
from PySide6.QtGui import QFontMetricsF

from analysis.report.rail_blocks import rail_content
from analysis.values.film import FrameNumber
from analysis.values.reading import PairReading
from analysis.values.run import Footfall, Side, StartPush
from app.rail.columns import Columns
from app.rail.edges import Edge, moved, reach
from app.theme.apply import sized
from app.theme.tokens import Type
from tests.app.rail.invented import a_film, a_reading, a_run, number


def content(run, reading=None):
    return rail_content(run, a_film(run), reading)


def test_a_contact_is_as_tall_as_it_lasted():
    run = a_run()
    block = content(run).block("f0")
    # 12 frames at 100 a second; touchdown on frame 40, the zero on frame 10
    assert block.bottom_s - block.top_s == pytest.approx(0.12)
    assert block.top_s == pytest.approx(0.30 - 0.005)


def test_flights_fill_the_gaps_between_contacts():
    run = a_run()
    shown = content(run, a_reading(run))
    contacts = [b for b in shown.blocks if not b.push]
    for gap, before, after in zip(shown.gaps, contacts, contacts[1:], strict=False):
        assert gap.top_s == pytest.approx(before.bottom_s)
        assert gap.bottom_s == pytest.approx(after.top_s)
    assert len(shown.gaps) == 3


def test_time_counts_from_the_first_movement_else_from_the_first_frame():
    assert content(a_run()).cells.time(10) == 0.0
    assert content(a_run(start=False)).cells.time(0) == 0.0


def test_the_start_s_pushes_stand_before_the_first_step():
    run = a_run()
    rear, front = [b for b in content(run, a_reading(run)).blocks if b.push]
    assert (rear.side, front.side) == (Side.LEFT, Side.RIGHT)
    assert rear.bottom_s - rear.top_s == pytest.approx(0.15)
    assert front.bottom_s - front.top_s == pytest.approx(0.24)
    assert front.number.value == 0.24


def test_with_no_front_foot_named_the_pushes_have_no_side():
    run = replace(a_run(), start=StartPush(FrameNumber(10), FrameNumber(25), FrameNumber(34), None))
    pushes = [b for b in content(run).blocks if b.push]
    assert [b.side for b in pushes] == [None, None]
    assert len({b.track for b in pushes}) == 2


def test_a_draft_is_told_and_has_no_number():
    run = a_run(4, draft_last=True)
    shown = content(run, a_reading(run))
    assert [b.draft for b in shown.blocks if not b.push] == [False, False, False, True]
    assert shown.block("f3").number is None
    assert "Draft" in shown.block("f3").name


@pytest.mark.parametrize("which", ["touchdown", "toe_off"])
def test_half_a_footfall_has_one_end(which):
    run = a_run()
    half = Footfall("h", Side.LEFT, None, None)
    half = replace(half, **{which: FrameNumber(130)})
    block = content(replace(run, footfalls=(*run.footfalls, half))).block("h")
    ends = {"touchdown": block.top_s, "toe_off": block.bottom_s}
    assert ends.pop(which) == pytest.approx(1.195)
    assert list(ends.values()) == [None]


def test_shifts_say_whether_and_which_way():
    run = a_run()
    shown = content(run, a_reading(run))
    first, second, third, _ = [b.shift for b in shown.blocks if not b.push]
    assert first is None
    assert not second.told_apart
    assert not second.against
    assert second.sentence == "Cannot be told apart from step 1."
    assert third.against, "contact time rose, and it can be told apart"
    assert third.sentence == "Longer than step 2: 21 ± 9 ms."
    assert shown.gaps[1].shift.rose
    assert not shown.gaps[1].shift.against, "flight time is to rise"


def test_only_neighbouring_steps_are_compared():
    run = a_run()
    pairs = (PairReading("contact_s", 1, 3, number(0.05, 0.009), True),)
    assert all(b.shift is None for b in content(run, a_reading(run, pairs)).blocks)


def test_events_are_found_in_both_directions():
    shown = content(a_run())
    assert shown.nearest_event(0).words == "first movement"
    assert shown.nearest_event(140).words == "toe-off right"
    assert content(a_run(0, start=False)).nearest_event(5) is None


def test_an_edge_reaches_to_its_foot_s_other_events():
    run = a_run()
    assert reach(run, Edge("f0", "touchdown")) == (0, 51)
    assert reach(run, Edge("f2", "touchdown")) == (53, 91)
    assert reach(run, Edge("f3", "toe_off")) == (101, 140)


def test_a_preview_changes_one_edge_only():
    run = a_run()
    other = moved(run, Edge("f1", "toe_off"), 75)
    assert [f.toe_off for f in other.footfalls] == [52, 75, 92, 112]
    assert run.footfalls[1].toe_off == 72


@pytest.mark.parametrize("points", [10, 15, 20])
def test_columns_hold_their_numbers_at_every_size_of_text(qapp, points):
    font = qapp.font()
    font.setPointSizeF(points)
    for columns, widest in (
        (Columns.widest(font), "888 ± 88"),
        (Columns.of(font), "± 88"),
    ):
        across = QFontMetricsF(sized(font, Type.CAPTION, bold=True)).horizontalAdvance(widest)
        mark = 0 if columns.stacked else columns.mark
        assert across + mark <= columns.number
        ends = [
            (columns.axis + columns.left, columns.number),
            (columns.track_x(Side.LEFT), columns.track),
            (columns.flight_x, columns.flight),
            (columns.track_x(Side.RIGHT), columns.track),
            (columns.number_x(Side.RIGHT), columns.number),
        ]
        for (left, width), (right, _) in pairwise(ends):
            assert left + width <= right + 0.01, "columns do not overlap"
        assert ends[-1][0] + ends[-1][1] <= columns.left + columns.width + 0.01
