"""A first draft of every footfall of a film, for the coach to confirm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.background import follow_background
from analysis.background.shown import as_shown
from analysis.derive.footfalls.body import BodyPath, follow_body, seen_of
from analysis.derive.footfalls.canvas import Canvas, canvas_of
from analysis.derive.footfalls.contacts import best_chain
from analysis.derive.footfalls.cutting import Band, BandPlace
from analysis.derive.footfalls.figures import figure_columns, jumps, two_together, well_seen
from analysis.derive.footfalls.line import feet_line, height_over, level_from_marks, level_from_motion
from analysis.derive.footfalls.notes import (
    camera_jumps,
    cut_frames,
    cut_near,
    notes_on,
    notes_on_camera,
    notes_on_start,
)
from analysis.derive.footfalls.placing import Placing
from analysis.derive.footfalls.proposals import Draft
from analysis.derive.footfalls.start import find_start
from analysis.derive.footfalls.still_so_far import CameraMovesError, StillSoFar
from analysis.derive.footfalls.strip import FOOT_ZONE, Shine, read_strip
from analysis.derive.footfalls.thin import WIDE_ZONE, stood_on
from analysis.derive.footfalls.timing import timed
from analysis.derive.footfalls.tint import most_distinct
from analysis.derive.footfalls.watching import Watch, go_through, rows_to_keep
from analysis.film import FrameReader
from analysis.film.freed_memory import hold_freed_memory
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.errors import FilmError
from analysis.values.film import Film
from analysis.values.progress import Say, share_of
from analysis.values.run import Direction, GroundMark, Side
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

_KEPT_BYTES = 8_000_000
_LEAST_SCORE = 0.9  # of a whole chain; less is chance


def draft_footfalls(
    film: Film,
    marks: Sequence[GroundMark] | None = None,
    direction: Direction | None = None,
    camera: CameraPath | None = None,
    progress: Say | None = None,
    stopped: Callable[[], bool] | None = None,
    first_side: Side = Side.LEFT,
    lens: Lens | None = None,
    threads: int = 0,
) -> Draft:
    """Propose touchdown, toe-off and place of every footfall.

    ``marks``: on the running line, in pixels of the film's first frame or of the frame that each names.
    ``direction``: of the run, found where None. ``camera``: where each frame looks; where None, a camera
    that moves is followed here, freed from ``lens`` where that is known. ``first_side``: the foot of the
    first contact; sides alternate from it. ``threads``: how many decode, 0 for as many as there are
    processors, 1 beside other work. Raises FilmError or MissingFilmError where the film can't be read,
    ReadingStopped when ``stopped`` says so.
    """
    if film.frames < 8:
        raise FilmError(tr("The film is too short to find footfalls in. Choose the film of a run."))
    hold_freed_memory()  # else every band's memory is taken from the system anew, page by page
    share = partial(share_of, _rising(progress))
    looking = partial(_look, film, marks=marks or (), threads=threads, stopped=stopped, share=share)
    looked: _Looked | Draft | None = None
    untold = False
    if camera is None and len({mark.frame for mark in marks or ()}) <= 1:
        still = StillSoFar(film)
        with suppress(CameraMovesError):  # decoding is dear: it is gone through as a still camera's first
            looked = looking(canvas_of(film.frames, *film.shown_size, None), still=still)
            camera, untold = still.path(lens), still.untold
    if camera is None:
        last, half = film.frames - 1, share(0.0, 0.5)
        camera = follow_background(film, 0, last, lens=lens, progress=half, stopped=stopped)
        looked = None
    if camera.kind is CameraKind.WALKING and not camera.tied.any():
        return Draft(
            notes=(tr("The camera walks along: places on the ground can't be tied together. Tag by hand."),)
        )
    if looked is None:
        looked = looking(canvas_of(film.frames, *film.shown_size, as_shown(camera, film.shown_size)))
    if not isinstance(looked, Draft):
        looked = _read(film, marks or (), direction, first_side, looked, camera, lens)
    return replace(looked, notes=(*notes_on_camera(camera, untold=untold), *looked.notes))


def _rising(progress: Say | None) -> Say | None:
    """Tells no less than before, where work is begun anew."""
    if progress is None:
        return None
    most = [0.0]

    def told(share: float) -> None:
        most[0] = max(most[0], share)
        progress(most[0])

    return told


@dataclass(frozen=True, eq=False)
class _Looked:
    canvas: Canvas
    body: BodyPath
    band: Band
    feet: tuple[float, float] | None
    marked: bool
    cuts: tuple[int, ...]
    part: tuple[int, int]
    damaged: tuple[int, ...]
    together: bool


def _look(
    film: Film,
    canvas: Canvas,
    marks: Sequence[GroundMark],
    threads: int,
    stopped: Callable[[], bool] | None,
    share: Callable[[float, float], Say | None],
    still: StillSoFar | None = None,
) -> _Looked | Draft:
    """``still``: asked whether the camera stands still; raises CameraMovesError where it does not."""
    rate = film.facts.times.median_rate_hz or 30.0
    level = level_from_marks(marks, canvas)
    marked, feet = level is not None, None
    place = level.place(above=0.30, below=0.10) if level else None
    if level is not None and level.is_below(canvas):
        if still is not None:
            raise CameraMovesError  # as far as is known yet: a camera that turns may see it later
        return Draft(notes=(tr("The ground line of the marks is not in the picture. Check the marks."),))
    body_rows = level.body_rows(canvas.width) if level else None
    keep = None if place is not None or canvas.maps is not None else rows_to_keep(film)
    watch = Watch(film, canvas, small=True, band=place, body_rows=body_rows, keep=keep)
    through = partial(_through, film, threads, stopped)
    damaged = through(watch, share(0.0 if still else 0.5, 0.75 if place is None else 0.95), still)
    assert watch.small is not None
    cuts, jumped = cut_frames(watch.looks), camera_jumps(canvas, rate)
    ends = sorted((*cuts, *(frame for first, last in jumped for frame in (first, last + 1))))
    cuts = _with(cuts, [cut_near(watch.looks, first + 1, last) for first, last in jumped])
    part = _leave_out(ends, (0, film.frames), canvas, watch)
    tall = level.tall_px if level else None
    follow = partial(follow_body, rate_hz=rate / watch.every, scale=watch.scale, guess_height_px=tall)
    seen = seen_of(watch.small)
    body, together = follow(watch.small, seen), False
    if body is not None:
        small_px, columns = body.height_px / watch.scale, figure_columns(watch.small, seen)
        every = watch.every
        clear = well_seen(columns, body.there)
        pictures = jumps(columns, seen, small_px, rate / every) if clear else ()
        if pictures:
            inner = [cut_near(watch.looks, (k - 1) * every + 1, k * every) for k in pictures]
            cuts, part = _with(cuts, inner), _leave_out(inner, part, canvas, watch)
            seen = seen_of(watch.small)
            body, columns = follow(watch.small, seen), figure_columns(watch.small, seen)
        together = two_together(columns, small_px)
    if body is not None:
        body = body.between(film.frames, watch.every)
    if body is not None and level is not None:
        body = replace(body, height_px=level.tall_px)  # a crowd that moves behind makes it taller
    if body is None or body.travel_px < 0.8 * body.height_px:
        return Draft(
            notes=(tr("Nobody runs across the picture, as far as can be seen."), *notes_on(cuts, None))
        )
    if place is None:
        under = _place_under(body, canvas)
        if under is None:
            return Draft(notes=(tr("The ground under the runner is not in the picture."),))
        place, feet = under
        if not watch.cut_band(place):
            watch = Watch(film, canvas, small=False, band=place)
            through(watch, share(0.75, 0.95))
    assert watch.band is not None
    assert watch.tints is not None
    band = most_distinct(Band(place, watch.band), watch.tints, canvas, body, feet)
    return _Looked(canvas, body, band, feet, marked, cuts, part, tuple(damaged), together)


def _place_under(body: BodyPath, canvas: Canvas) -> tuple[BandPlace, tuple[float, float] | None] | None:
    """A band about the ground under a body that moves, and slope and row at column 0 of the ground in it
    where that is not the band's own line; None where the ground is not in the picture.
    """
    level = level_from_motion(body, canvas.height)
    if level is None or level.is_below(canvas):
        return None
    if canvas.maps is None:
        return level.flat_place(above=0.50, below=0.12, canvas=canvas)
    return level.place(above=0.50, below=0.12), None


def _through(
    film: Film,
    threads: int,
    stopped: Callable[[], bool] | None,
    watch: Watch,
    progress: Say | None,
    still: StillSoFar | None = None,
) -> list[int]:
    with FrameReader(film, _KEPT_BYTES, threads, stopped) as reader:
        return go_through(film, reader, watch, progress, still)


def _with(cuts: Sequence[int], more: Sequence[int]) -> tuple[int, ...]:
    return tuple(sorted({*cuts, *more}))


def _leave_out(cuts: Sequence[int], part: tuple[int, int], canvas: Canvas, watch: Watch) -> tuple[int, int]:
    """Of a part of the film only the longest stretch without a cut is looked at: its first frame and the one
    after its last.
    """
    begin, end = max(pairwise([part[0], *cuts, part[1]]), key=lambda pair: pair[1] - pair[0])
    for place in (slice(part[0], begin), slice(end, part[1])):
        if place.start < place.stop:
            canvas.sees[place] = (1.0, 0.0)
            watch.leave_out(place)
    return begin, end


def _read(
    film: Film,
    marks: Sequence[GroundMark],
    direction: Direction | None,
    first_side: Side,
    looked: _Looked,
    camera: CameraPath,
    lens: Lens | None,
) -> Draft:
    rate = film.facts.times.median_rate_hz or 30.0
    seconds, canvas, body, band = film.facts.times.seconds, looked.canvas, looked.body, looked.band
    shine = Shine.of(band)
    if looked.marked:
        strip = read_strip(band, canvas, body, rate, shine=shine)
    else:
        found = stood_on(band, canvas, body, seconds, looked.feet, shine, direction)
        zone, feet = WIDE_ZONE, looked.feet
        if found is not None:
            zone, (feet, height_px) = FOOT_ZONE, found
            body = replace(body, height_px=height_px)
        strip = read_strip(band, canvas, body, rate, zone, feet, shine)
    streaks, forwards = best_chain(strip, body, seconds, direction)
    if not looked.marked:
        line = feet_line(strip, streaks, body.height_px)
        if line is not None:
            strip = replace(strip, feet=line)
            body = replace(body, height_px=height_over(body, band.place, canvas.left, line))
    way = Direction.RIGHT if forwards > 0 else Direction.LEFT
    if sum(one.score for one in streaks) < _LEAST_SCORE:
        streaks = []
    start, streaks = find_start(strip, streaks, body, seconds, forwards, first_side)
    events = timed(strip, streaks, body, seconds, forwards, looked.part)
    placed = Placing(film, marks, way, camera, lens)
    footfalls, side = [], first_side
    for one in events:
        footfalls.append(placed.footfall(one, side, strip))
        side = side.other
    notes = notes_on(
        looked.cuts,
        body,
        canvas=canvas,
        found=len(footfalls),
        damaged=looked.damaged,
        seconds=seconds,
        together=looked.together,
    )
    if footfalls:
        notes = (*placed.notes, *notes, *notes_on_start(start))
    return Draft(tuple(footfalls), start, way, notes, strip)
