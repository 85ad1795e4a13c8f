"""The pictures of an annotated film in turn: frames with all that is drawn on and beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from PIL import Image, ImageDraw

from analysis.film.reader import FrameReader
from analysis.report.canvas import WHOLE, Canvas, Pixels, bgra
from analysis.report.face_hiding import FacePlaces, hide_faces
from analysis.report.film_drawing import draw_pen, draw_scene
from analysis.report.film_layout import (
    Layout,
    PaneWish,
    Place,
    caption_lines,
    laid_out,
    line_height,
    picture_size,
    title_lines,
)
from analysis.report.film_reel import Reel, Shot
from analysis.report.ink import Ink
from analysis.report.lettering import write
from analysis.report.narrated import layers_of, meet_of, narrated
from analysis.report.other_body import BodyRun, Meet, other_body
from analysis.report.posture_lines import NOTHING, Drawn, Layer
from analysis.report.rail_blocks import rail_content
from analysis.report.rail_column import RailColumn
from analysis.report.run_scene import scene_on
from analysis.report.scene import OtherBody, Scene
from analysis.report.stamp import LaidAgain
from analysis.values.evidence import Evidence
from analysis.values.narration import Overlay, Stop, Zoom
from analysis.values.reading import Reading
from analysis.values.run import Direction, Run

USUAL = Drawn(frozenset({Layer.TRUNK, Layer.SHINS, Layer.PATH}))
"""What of posture is drawn where nobody chose."""

_BAND, _WORDS = "#15181B", "#FFFFFF"


@dataclass(frozen=True)
class Look:
    """What is drawn where no narration says it. ``height``: of each film's picture, px; None: as it is.
    ``bodies``: the films, by their number from above, over which the other run's body lies at the events that
    both have; ``meet``: what of both bodies is in one place there.
    """

    drawn: Drawn = NOTHING
    numbers: bool = True
    rail: bool = False
    height: int | None = None
    bodies: tuple[int, ...] = ()
    meet: Meet = Meet.HIPS


@dataclass(frozen=True)
class Pane:
    """One run on its film. ``run``: the coach's, without what a camera place lends it; ``title``: stands over
    it, empty for none; ``faces``: of each face that is covered where it is, by frame, None for out of sight.
    """

    reader: FrameReader
    run: Run
    evidence: Evidence
    reading: Reading
    title: str = ""
    faces: Sequence[FacePlaces] = ()


class FilmPictures:
    """Puts the pictures of a reel together; the same shot is the same picture."""

    def __init__(self, panes: Sequence[Pane], reel: Reel, look: Look) -> None:
        self._panes, self._reel, self._look = panes, reel, look
        self._ink = Ink()
        self._trails = [LaidAgain() for _ in panes]
        self._bodies = [BodyRun(pane.evidence, pane.reading, pane.title) for pane in panes]
        self._events = [frozenset(body.moments().values()) for body in self._bodies]
        sizes = [picture_size(pane.reader.film.shown_size, look.height) for pane in panes]
        rails = any(map(self._rail_shown, reel.shots))  # no empty column where no stop shows it
        self._rails = [
            RailColumn(rail_content(p.run, p.evidence.film.times, p.reading), size[1]) if rails else None
            for p, size in zip(panes, sizes, strict=True)
        ]
        wishes = [
            PaneWish(
                size,
                0 if rail is None else rail.width,
                pane.run.direction is Direction.RIGHT,
                pane.title,
            )
            for pane, size, rail in zip(panes, sizes, self._rails, strict=True)
        ]
        captions = {shot.stop.words for shot in reel.shots if shot.stop is not None}
        self.layout: Layout = laid_out(wishes, sorted(captions))
        self._grounds: dict[str, Pixels] = {}

    def __iter__(self) -> Iterator[Pixels]:
        """Pictures, (height, width, 4) blue, green, red, 255; one that comes again is the same object.

        Raises FilmError where a film is damaged at one of its frames.
        """
        before, picture = None, None
        for shot in self._reel.shots:
            if picture is None or shot != before:
                before, picture = shot, self._picture(shot)
            yield picture

    def _picture(self, shot: Shot) -> Pixels:
        panes = zip(self._panes, self.layout.panes, self._rails, shot.frames, strict=True)
        whole = None if self._alone else self._begun(shot)
        for number, (pane, place, rail, frame) in enumerate(panes):
            picture = self._film_picture(pane, place.picture, frame, shot, number)
            if whole is None:
                return picture
            _laid(whole, picture, place.picture)
            if rail is not None and place.rail is not None and self._rail_shown(shot):
                _laid(whole, rail.pixels(frame), place.rail)
        assert whole is not None
        return whole

    def _begun(self, shot: Shot) -> Pixels:
        """What stands round the films and their rails; where they stand it is left as it is."""
        ground = self._ground("" if shot.stop is None else shot.stop.words)
        first, last = self.layout.panes[0], self.layout.panes[-1]
        if len(self._panes) > 1 or (first.rail is not None and not self._rail_shown(shot)):
            return ground.copy()
        whole = np.empty_like(ground)
        whole[: first.picture.top] = ground[: first.picture.top]
        below = last.picture.top + last.picture.height
        whole[below:] = ground[below:]
        return whole

    def _rail_shown(self, shot: Shot) -> bool:
        return self._look.rail if shot.stop is None else Overlay.RAIL in shot.stop.drawn

    @property
    def _alone(self) -> bool:
        """Whether the film's picture is all of it."""
        first = self.layout.panes[0].picture
        return (self.layout.width, self.layout.height) == (first.width, first.height)

    def _film_picture(self, pane: Pane, place: Place, frame: int, shot: Shot, number: int) -> Pixels:
        stop = shot.stop
        zoom = None if stop is None else stop.beside_zoom if number else stop.zoom
        pixels, scale, corner = _seen(pane.reader, frame, place, zoom)
        canvas = Canvas(pixels)
        hide_faces(canvas, pane.faces, frame, scale, corner)
        scene, trails = self._scene(pane, frame, stop), self._trails[number]
        scene = replace(scene, other=self._other(number, frame, stop))
        draw_scene(canvas, scene, scale, self._ink, corner=corner, trails=trails)
        ways = [[(p.u, p.v) for p in one.points] for one in shot.strokes if one.beside == bool(number)]
        draw_pen(canvas, ways, scale, self._ink, corner=corner)
        return pixels

    def _scene(self, pane: Pane, frame: int, stop: Stop | None) -> Scene:
        told = pane.run, pane.evidence, pane.reading, frame
        if stop is not None:
            return narrated(scene_on(*told, layers_of(stop.drawn)), stop.drawn)
        return scene_on(*told, self._look.drawn, numbers=self._look.numbers)

    def _other(self, number: int, frame: int, stop: Stop | None) -> OtherBody | None:
        """The other run's body, where it is wanted and both runs have an event here; a film says no more."""
        wanted = self._look.meet if number in self._look.bodies else None
        meet = wanted if stop is None else meet_of(stop.drawn)
        if len(self._panes) < 2 or meet is None or frame not in self._events[number]:
            return None
        found = other_body(self._bodies[number], frame, self._bodies[1 - number], meet)
        return found if found.strokes else None

    def _ground(self, caption: str) -> Pixels:
        """What stands round the films: titles and a caption on their bands."""
        if caption not in self._grounds:
            ground = Image.new("RGB", (self.layout.width, self.layout.height), _BAND)
            for pane, place in zip(self._panes, self.layout.panes, strict=True):
                if place.title is not None:
                    lines = title_lines(pane.title, self.layout.text_px, place.title.width)
                    self._words(ground, lines, place.title)
            band = self.layout.caption
            if band is not None and caption:
                self._words(ground, caption_lines(caption, self.layout.text_px, band.width), band)
            self._grounds[caption] = bgra(ground)
        return self._grounds[caption]

    def _words(self, picture: Image.Image, lines: Sequence[str], band: Place) -> None:
        """Lines in the middle of a band."""
        draw, px, step = ImageDraw.Draw(picture), self.layout.text_px, line_height(self.layout.text_px)
        y = band.top + (band.height - step * (len(lines) - 1)) / 2
        for n, line in enumerate(lines):
            write(draw, (band.left + band.width / 2, y + n * step), line, px, _WORDS, "mm")


def _laid(whole: Pixels, part: Pixels, place: Place) -> None:
    whole[place.top : place.top + place.height, place.left : place.left + place.width] = part


def _seen(
    reader: FrameReader, frame: int, place: Place, zoom: Zoom | None
) -> tuple[Pixels, float, tuple[float, float]]:
    """The part of a film's picture that is shown, its scale, and the place of the film at its corner."""
    size = place.width, place.height
    film = reader.film.shown_size
    if zoom is None:
        whole = size == film
        pixels = reader.picture(frame) if whole else reader.small(frame, size[0])
        if pixels.shape[:2] != (size[1], size[0]):
            pixels = np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_LINEAR), np.uint8)
        return pixels, size[0] / film[0], WHOLE
    left, top, across = _part(zoom, film, size)
    scale = size[0] / across
    # the library counts from pixels' centres
    move = np.array([[scale, 0, (0.5 - left) * scale - 0.5], [0, scale, (0.5 - top) * scale - 0.5]])
    how, beyond = cv2.INTER_CUBIC, cv2.BORDER_REPLICATE
    part = cv2.warpAffine(reader.picture(frame), move, size, flags=how, borderMode=beyond)
    return np.asarray(part, np.uint8), scale, (left - 0.5, top - 0.5)


def _part(zoom: Zoom, film: tuple[int, int], view: tuple[int, int]) -> tuple[float, float, float]:
    """The part of a film's picture, grown to the shape of the view, moved within the picture: left and upper
    edge and width, px.
    """
    left, top, width, height = zoom
    shape = view[0] / view[1]
    wide = min(max(width, height * shape), film[0], film[1] * shape)
    high = wide / shape
    u = min(max(0.0, left + (width - wide) / 2), film[0] - wide)
    v = min(max(0.0, top + (height - high) / 2), film[1] - high)
    return u, v, wide
