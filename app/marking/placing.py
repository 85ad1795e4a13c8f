"""Marks, body points and lines: from an intent to a command."""

from __future__ import annotations

import uuid
from dataclasses import replace
from typing import Any

from analysis.ground.marks import check_marks
from analysis.values.command import Change, Command, Kind, command
from analysis.values.errors import FootfallError, PointError
from analysis.values.film import FrameNumber
from analysis.values.point_names import point_words
from analysis.values.project import bare
from analysis.values.run import BodyPoint, GroundMark, Line, LineKind, Run, Side
from analysis.values.words import tr
from app.marking.events import events

SHORTEST_LINE_PX = 3.0
"""Below this a line is a slip of the hand."""

_LINE_WORDS = {
    LineKind.TRUNK: "Trunk line",
    LineKind.SHIN: "Shin line",
    LineKind.THIGH: "Thigh line",
    LineKind.FREE: "Free line",
}


def line_words(kind: LineKind) -> str:
    """The name of a kind of line for people."""
    return tr(_LINE_WORDS[kind])


def near_side(run: Run) -> Side:
    """The side that the camera sees."""
    return run.direction.near_side


def place_point(run: Run, frame: int, name: str, u: float, v: float) -> Command:
    """A body point on a frame; one of the same name there is moved, its stated error kept."""
    old = run.point(frame, name)
    new = BodyPoint(FrameNumber(frame), name, u, v) if old is None else replace(old, u=u, v=v)
    text = tr("Place {point}") if old is None else tr("Move {point}")
    return command(text.format(point=point_words(name)), (Change(Kind.POINT, new.id, old, new, run.id),))


def place_mark(run: Run, frame: int, u: float, v: float, x_m: float, y_m: float) -> Command:
    """A new mark of known place. Raises MarkError where it can't stand beside the others."""
    new = GroundMark(uuid.uuid4().hex, x_m, y_m, FrameNumber(frame), u, v)
    return _mark_changed(run, None, new, tr("Place mark"))


def change_mark(run: Run, old: GroundMark, new: GroundMark) -> Command:
    """A mark moved or told another distance. Raises MarkError where it can't stand beside the others."""
    return _mark_changed(run, old, new, tr("Change mark"))


def next_mark_distance(run: Run) -> float:
    """The distance proposed for the next mark: 0, then 5, then on by the last gap."""
    ground = sorted({mark.x_m for mark in run.marks if mark.y_m == 0.0})
    if not ground:
        return 0.0
    gap = ground[-1] - ground[-2] if len(ground) > 1 else 5.0
    return ground[-1] + gap


def draw_line(
    run: Run,
    frame: int,
    kind: LineKind,
    side: Side | None,
    lower: tuple[float, float],
    upper: tuple[float, float],
) -> Command:
    """A line on a frame, lower end first; a trunk, shin or thigh line drawn anew replaces the old one.

    The ends of a body line are put in order: the lower one in the picture becomes the lower end.
    Raises PointError where it is too short to have a direction.
    """
    lower, upper = _checked_ends(lower, upper)
    if kind is not LineKind.FREE and lower[1] < upper[1]:
        lower, upper = upper, lower
    old = None
    if kind is not LineKind.FREE:
        old = next((n for n in run.lines if (n.frame, n.kind, n.side) == (frame, kind, side)), None)
    new = (
        Line(uuid.uuid4().hex, FrameNumber(frame), kind, side, lower, upper)
        if old is None
        else replace(old, lower=lower, upper=upper)
    )
    return command(line_words(kind), (Change(Kind.LINE, new.id, old, new, run.id),))


def move_line(run: Run, old: Line, lower: tuple[float, float], upper: tuple[float, float]) -> Command:
    """A line with one or both ends elsewhere. Raises PointError where it would be too short."""
    lower, upper = _checked_ends(lower, upper)
    change = Change(Kind.LINE, old.id, old, replace(old, lower=lower, upper=upper), run.id)
    return command(tr("Move line"), (change,))


def delete_part(run: Run, kind: Kind, part_id: str) -> Command:
    """A mark, point or line is taken off."""
    parts: dict[Kind, tuple[GroundMark | BodyPoint | Line, ...]] = {
        Kind.MARK: run.marks,
        Kind.POINT: run.points,
        Kind.LINE: run.lines,
    }
    old = next((part for part in parts[kind] if part.id == part_id), None)
    if old is None:
        raise PointError(tr("This is not there any more."))
    words = {Kind.MARK: tr("Delete mark"), Kind.POINT: tr("Delete point"), Kind.LINE: tr("Delete line")}
    return command(words[kind], (Change(kind, part_id, old, None, run.id),))


def change_run(run: Run, new: Run, text: str) -> Command:
    """The run's own facts (direction, name, camera distance ...) become those of ``new``; its parts stay."""
    return command(text, (Change(Kind.RUN, run.id, bare(run), bare(new)),))


def cut(run: Run, which: str, frame: int, text: str) -> Command:
    """The run's ``first_frame`` or ``last_frame`` becomes ``frame``.

    Raises FootfallError where the run would be left without a frame or without an event that is tagged.
    """
    ends: dict[str, Any] = {which: FrameNumber(frame)}
    new = replace(run, **ends)
    if new.first_frame > new.last_frame:
        raise FootfallError(tr("The run has to begin before it ends."))
    if any(not new.first_frame <= tagged <= new.last_frame for tagged, _ in events(run)):
        raise FootfallError(tr("An event is tagged beyond this frame. Delete it first, or cut elsewhere."))
    return change_run(run, new, text)


def _mark_changed(run: Run, old: GroundMark | None, new: GroundMark, text: str) -> Command:
    kept = tuple(m for m in run.marks if old is None or m.id != old.id)
    check_marks((*kept, new))
    return command(text, (Change(Kind.MARK, new.id, old, new, run.id),))


def _checked_ends(
    lower: tuple[float, float], upper: tuple[float, float]
) -> tuple[tuple[float, float], tuple[float, float]]:
    if abs(lower[0] - upper[0]) + abs(lower[1] - upper[1]) < SHORTEST_LINE_PX:
        raise PointError(tr("The line is too short to have an angle. Draw it from one joint to the other."))
    return lower, upper
