"""The reps of a drill in a row at the same event: first, best and last, or all, at one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from analysis.reading.drills.rep import DrillReading, RepReading
from analysis.reading.drills.sets import best_rep
from analysis.report.body import body_scene, spots_on
from analysis.report.drill_scene import with_implement
from analysis.report.posture_strip import Box, framed_at
from analysis.report.scene import Scene
from analysis.values.drill_film import DrillEvent
from analysis.values.evidence import Evidence
from analysis.values.words import tr


class Which(StrEnum):
    """Which reps stand in the row."""

    FEW = "first, best, last"
    ALL = "all"


@dataclass(frozen=True)
class RepPicture:
    """One rep at the event. ``words``: which rep, and whether it is the first, the best or the last."""

    frame: int
    words: tuple[str, ...]
    box: Box
    scene: Scene


@dataclass(frozen=True)
class RepRow:
    """``reason``: why there is no picture; ``width_m``: how much each shows, None without a scale."""

    pictures: tuple[RepPicture, ...] = ()
    width_m: float | None = None
    reason: str = ""

    @property
    def shape(self) -> float:
        """Width over height of every picture."""
        return self.pictures[0].box.width / self.pictures[0].box.height if self.pictures else 1.0


def rep_row(evidence: Evidence, reading: DrillReading, event: DrillEvent, which: Which) -> RepRow:
    """The reps of one film at an event. Where nothing tells where the athlete is on one of the frames, all of
    them show the whole picture.
    """
    if not reading.reps:
        return RepRow(reason=tr("Cut the film's reps first: their pictures stand here side by side."))
    there = [one for one in _chosen(reading, which) if one.rep.frame_of(event) is not None]
    frames = [int(one.rep.frame_of(event) or 0) for one in there]
    if not frames:
        return RepRow(reason=tr("This event is tagged in none of these reps."))
    film = evidence.film
    framed = framed_at(evidence, frames)
    whole = Box(-0.5, -0.5, float(film.width), float(film.height))
    if framed is None or any(frame not in framed.held for frame in frames):
        boxes, width = dict.fromkeys(frames, whole), None
    else:
        boxes = framed.boxes(film.width)
        width = framed.reach.width if framed.in_metres else None
    pictures = tuple(
        RepPicture(frame, _words(one, reading), boxes[frame], _scene(evidence, one, frame))
        for one, frame in zip(there, frames, strict=True)
    )
    return RepRow(pictures, width)


def _chosen(reading: DrillReading, which: Which) -> Sequence[RepReading]:
    if which is Which.ALL or len(reading.reps) < 3:
        return reading.reps
    best = best_rep([reading])
    wanted = [reading.reps[0], *([] if best is None else [best]), reading.reps[-1]]
    return [one for one in reading.reps if any(one is other for other in wanted)]


def _words(one: RepReading, reading: DrillReading) -> tuple[str, ...]:
    rep, best = one.rep, best_rep([reading])
    name = tr("set {set}, rep {rep}").format(set=rep.set_number, rep=rep.number)
    marks = [
        words
        for words, which in (
            (tr("first"), reading.reps[0]),
            (tr("best"), best),
            (tr("last"), reading.reps[-1]),
        )
        if which is one and len(reading.reps) > 1
    ]
    said = f"{name}: {', '.join(marks)}" if marks else name
    return (said, rep.cue) if rep.cue else (said,)


def _scene(evidence: Evidence, one: RepReading, frame: int) -> Scene:
    run = evidence.run
    body = body_scene(spots_on(run, evidence.tracks, frame), frame, run.direction.near_side)
    return with_implement(body, run, frame, one.rep)
