"""All that lies over a frame of a run, put together once: for the window, an exported picture and a film."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from analysis.report.body import spots_on, whole_scene
from analysis.report.marks import dots, residual_strokes
from analysis.report.marks_seen import MarksSeen, marks_in
from analysis.report.posture_lines import NOTHING, Drawn, with_posture
from analysis.report.scene import Scene
from analysis.values.evidence import Evidence
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.tracks import Tracks


def scene_over(
    run: Run | None,
    reading: Reading | None,
    frame: int,
    *,
    numbers: bool,
    marks: MarksSeen | None = None,
    tracks: Tracks | None = None,
    drawn: Drawn = NOTHING,
) -> Scene:
    """What lies over a frame, with the step numbers or without; ``marks``: where marks lie on it;
    ``tracks``: points followed through it; ``drawn``: what of posture.
    """
    if run is None:
        return Scene()
    marks = marks or MarksSeen()
    run = marks.on(run, frame)
    near = run.direction.near_side
    spots = spots_on(run, tracks, frame)
    plain = whole_scene(run, reading, frame, near, tracks, spots)
    places = partial(marks.places_on, frame)
    shown = with_posture(plain, run, reading, frame, near, tracks, drawn, places, spots)
    lent = marks.lent_on(run, frame)
    off = residual_strokes((*run.marks, *lent), reading)
    return replace(
        shown,
        strokes=(*off, *shown.strokes),
        dots=(*dots(lent), *shown.dots),
        numbers=shown.numbers if numbers else (),
    )


def scene_on(
    run: Run,
    evidence: Evidence,
    reading: Reading,
    frame: int,
    drawn: Drawn = NOTHING,
    *,
    numbers: bool = True,
) -> Scene:
    """The same from what a reading rests on. ``run``: the coach's, without what a camera place lends it."""
    marks = marks_in(evidence, run)
    return scene_over(run, reading, frame, numbers=numbers, marks=marks, tracks=evidence.tracks, drawn=drawn)
