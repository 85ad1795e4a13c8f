"""Marks, points and lines: from an intent to a command."""

from dataclasses import replace

import pytest

from analysis.values.command import Command, Kind
from analysis.values.errors import MarkError, PointError
from analysis.values.film import FrameNumber
from analysis.values.point_names import point_words
from analysis.values.project import with_parts
from analysis.values.run import Direction, LineKind, Run, Side
from app.marking import placing

EMPTY = Run("run", "film", "", FrameNumber(0), FrameNumber(400))


def done(run: Run, command: Command) -> Run:
    for change in command.changes:
        run = with_parts(run, change.kind, [change])
    return run


def marked(*places: tuple[float, float, float]) -> Run:
    """Marks on the ground: distance in metres, then the pixel."""
    run = EMPTY
    for x_m, u, v in places:
        run = done(run, placing.place_mark(run, 0, u, v, x_m, 0.0))
    return run


def test_the_distance_proposed_goes_on_by_the_last_gap():
    assert placing.next_mark_distance(EMPTY) == 0.0
    assert placing.next_mark_distance(marked((0, 10, 10))) == 5.0
    assert placing.next_mark_distance(marked((0, 10, 10), (2.5, 90, 10))) == 5.0
    assert placing.next_mark_distance(marked((5, 90, 10), (0, 10, 10), (10, 200, 10))) == 15.0
    high = done(marked((0, 10, 10)), placing.place_mark(EMPTY, 0, 10, 2, 8.0, 1.2))
    assert placing.next_mark_distance(high) == 5.0


def test_marks_that_contradict_each_other_are_refused():
    run = marked((0, 10, 10), (5, 90, 10))
    with pytest.raises(MarkError, match="Two marks stand at 5 m"):
        placing.place_mark(run, 0, 150, 10, 5.0, 0.0)
    with pytest.raises(MarkError, match="same place in the picture"):
        placing.place_mark(run, 0, 90.2, 10.1, 7.0, 0.0)
    five = run.marks[1]
    with pytest.raises(MarkError, match="Two marks stand at 0 m"):
        placing.change_mark(run, five, replace(five, x_m=0.0))
    moved = done(run, placing.change_mark(run, five, replace(five, x_m=6.0)))
    assert [m.x_m for m in moved.marks] == [0.0, 6.0]


def test_a_point_placed_again_is_moved_and_keeps_its_error():
    run = done(EMPTY, placing.place_point(EMPTY, 7, "left_toe", 10.0, 20.0))
    assert [(p.frame, p.name, p.u, p.v) for p in run.points] == [(7, "left_toe", 10.0, 20.0)]
    run = replace(run, points=(replace(run.points[0], error_px=4.0),))
    command = placing.place_point(run, 7, "left_toe", 11.0, 21.0)
    assert command.text == "Move left shoe tip"
    assert done(run, command).points == (replace(run.points[0], u=11.0, v=21.0),)
    assert done(done(run, command), command.reversed) == run


def test_a_body_line_is_put_upright_and_replaces_the_one_before_it():
    run = done(EMPTY, placing.draw_line(EMPTY, 3, LineKind.TRUNK, None, (50.0, 10.0), (40.0, 60.0)))
    assert (run.lines[0].lower, run.lines[0].upper) == ((40.0, 60.0), (50.0, 10.0))
    again = done(run, placing.draw_line(run, 3, LineKind.TRUNK, None, (41.0, 60.0), (52.0, 10.0)))
    assert [n.id for n in again.lines] == [run.lines[0].id]
    other = done(again, placing.draw_line(again, 4, LineKind.TRUNK, None, (41.0, 60.0), (52.0, 10.0)))
    assert len(other.lines) == 2
    for side, count in ((Side.LEFT, 3), (Side.RIGHT, 4), (Side.LEFT, 4)):
        other = done(other, placing.draw_line(other, 3, LineKind.SHIN, side, (1.0, 60.0), (2.0, 10.0)))
        assert len(other.lines) == count


def test_a_free_line_keeps_its_direction_and_stands_beside_others():
    run = EMPTY
    for _ in range(2):
        run = done(run, placing.draw_line(run, 3, LineKind.FREE, None, (50.0, 10.0), (40.0, 60.0)))
    assert [(n.lower, n.upper) for n in run.lines] == [((50.0, 10.0), (40.0, 60.0))] * 2


def test_a_slip_of_the_hand_is_no_line():
    with pytest.raises(PointError, match="too short"):
        placing.draw_line(EMPTY, 3, LineKind.FREE, None, (50.0, 10.0), (51.0, 11.0))
    run = done(EMPTY, placing.draw_line(EMPTY, 3, LineKind.FREE, None, (50.0, 10.0), (40.0, 60.0)))
    with pytest.raises(PointError, match="too short"):
        placing.move_line(run, run.lines[0], (40.0, 60.0), (40.5, 60.0))
    moved = done(run, placing.move_line(run, run.lines[0], (0.0, 0.0), (40.0, 60.0)))
    assert moved.lines[0].lower == (0.0, 0.0)


def test_deleting():
    run = marked((0, 10, 10))
    run = done(run, placing.place_point(run, 7, "left_toe", 10.0, 20.0))
    run = done(run, placing.draw_line(run, 3, LineKind.FREE, None, (50.0, 10.0), (40.0, 60.0)))
    for kind, part in ((Kind.MARK, run.marks[0]), (Kind.POINT, run.points[0]), (Kind.LINE, run.lines[0])):
        run = done(run, placing.delete_part(run, kind, part.id))
        with pytest.raises(PointError, match="not there any more"):
            placing.delete_part(run, kind, part.id)
    assert run == EMPTY


def test_words_and_the_near_side():
    assert point_words("right_hip") == "right hip"
    assert point_words("left_toe") == "left shoe tip"
    assert point_words("mid_back") == "mid-back"
    assert placing.near_side(EMPTY) is Side.RIGHT
    assert placing.near_side(replace(EMPTY, direction=Direction.LEFT)) is Side.LEFT
