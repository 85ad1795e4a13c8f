"""What strip and picture show of a run; the same in every workspace."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from analysis.report.body import whole_scene
from analysis.report.marks import dots, residual_strokes
from analysis.report.posture_lines import NOTHING, Drawn, with_posture
from analysis.report.scene import Scene
from analysis.values.film import Film
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.tracks import Tracks
from app.film.strip import Stretch
from app.marking import events as tagging
from app.marking.drawn import MarksSeen
from app.marking.placing import near_side


def strip_events(run: Run | None) -> tuple[tuple[Stretch, ...], tuple[int, ...]]:
    """The contacts and the start's events, as the strip takes them."""
    if run is None:
        return (), ()
    contacts = tuple(
        Stretch(f.touchdown, f.toe_off, f.side)
        for f in run.footfalls
        if f.touchdown is not None and f.toe_off is not None
    )
    return contacts, tuple(frame for frame, ref in tagging.events(run) if not ref.footfall_id)


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
    near = near_side(run)
    plain = whole_scene(run, reading, frame, near, tracks)
    shown = with_posture(plain, run, reading, frame, near, tracks, drawn, partial(marks.places_on, frame))
    lent = marks.lent_on(run, frame)
    off = residual_strokes((*run.marks, *lent), reading)
    return replace(
        shown,
        strokes=(*off, *shown.strokes),
        dots=(*dots(lent), *shown.dots),
        numbers=shown.numbers if numbers else (),
    )


def zero_s(run: Run | None, film: Film | None) -> float:
    """The film's time from which the run's times are counted."""
    if run is None or film is None or run.start.first_movement is None:
        return 0.0
    return film.facts.times.at(run.start.first_movement)
