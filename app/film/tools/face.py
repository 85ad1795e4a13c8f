"""Cover a face: press in its middle and drag beyond its edge, or click for one of the size before."""

from __future__ import annotations

from analysis.report.marks_seen import picture_size
from analysis.report.scene import Look, Ring, Scene
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.run import Run
from analysis.values.words import inside, tr
from app.bench import Bench
from app.film.tools.body_walk import SLIP_POINTS
from app.film.tools.tool import Aim, Surface, Tool
from app.marking.faces import cover_of, face_between, first_number, next_number, place_face, usual_size


class FaceTool(Tool):
    """One place a frame for each face; between two of them the cover follows the face when the film is
    written. A press on a cover takes that face in hand.
    """

    id = "face_tool"
    placing = True

    def __init__(self, bench: Bench, surface: Surface) -> None:
        self._bench = bench
        self._surface = surface
        self._middle: Aim | None = None
        self._number = 1
        self._film_id = ""

    @property
    def cover(self) -> FaceCover | None:
        """Of the face in hand; None without a run."""
        run = self._bench.run
        return None if run is None else self._cover(run)

    def asks(self) -> str:
        """What to do, and where the cover was placed."""
        cover = self.cover
        seen = None if cover is None else cover.seen
        if cover is None or seen is None:
            words = tr("Press in the middle of the face and drag beyond its edge.")
        elif seen[0] == seen[1]:
            words = tr(
                "Covered on frame {first} alone: drag over the face, or click its middle, on later ones."
            ).format(first=seen[0])
        else:
            words = tr(
                "Drag over the face, or click its middle. Covered from frame {first} to {last}."
            ).format(first=seen[0], last=seen[1])
        if cover is None or len(self._covers()) + (seen is None) < 2:
            return words
        return tr("Face {number}: {words}").format(number=cover.number, words=inside(words))

    def keys(self) -> str:
        """How to go to another face, and how to leave."""
        return (
            tr("Return takes the next face, or a new one. Escape ends.")
            if self._covers()
            else tr("Escape ends.")
        )

    def begin(self) -> None:
        """Show what is covered."""
        self._show(None)

    def end(self) -> None:
        """Show it no more."""
        self._middle = None
        self._surface.show_ghost(Scene())

    def frame_came(self) -> None:
        """Another frame has the cover elsewhere."""
        self._show(None)

    def skip(self) -> None:
        """Take the next face in hand, after the last one a new one."""
        run = self._bench.run
        if run is not None:
            self._number = next_number(self._bench.project, run, self._cover(run).number)
            self._middle = None
            self._show(None)

    def press(self, aim: Aim) -> None:
        """The middle of the face."""
        self._middle = aim
        self._number = self._number_at(aim)

    def move(self, aim: Aim, down: bool) -> None:
        """Show the cover as it would be."""
        if down and self._middle is not None:
            self._show(self._drawn(aim))

    def release(self, aim: Aim) -> None:
        """Cover it."""
        cover, place = self.cover, self._drawn(aim)
        self._middle = None
        if cover is not None and place is not None:
            self._bench.attempt(lambda: place_face(self._bench.project, cover, place))
        self._show(None)

    def escape(self) -> bool:
        """Drop what is half drawn."""
        drawing, self._middle = self._middle is not None, None
        self._show(None)
        return drawing

    def _cover(self, run: Run) -> FaceCover:
        """Of the face in hand: on another film, of its first one."""
        if run.film_id != self._film_id:
            self._film_id, self._number = run.film_id, first_number(self._bench.project, run)
        return cover_of(self._bench.project, run, self._number)

    def _covers(self) -> tuple[FaceCover, ...]:
        run = self._bench.run
        return () if run is None else self._bench.project.covers_of(run.film_id)

    def _number_at(self, aim: Aim) -> int:
        """The face whose cover lies there; the one in hand where none does, or its own does as well."""
        frame, held = int(self._bench.frame), self.cover
        here = {
            cover.number
            for cover in self._covers()
            if (place := face_between(cover, frame)) is not None and place.holds(aim.u, aim.v)
        }
        own = self._number if held is None else held.number
        return own if not here or own in here else min(here)

    def _drawn(self, aim: Aim) -> FacePlace | None:
        cover, middle, frame = self.cover, self._middle, self._bench.frame
        if cover is None or middle is None:
            return None
        half = abs(aim.u - middle.u), abs(aim.v - middle.v)
        if max(abs(aim.x - middle.x), abs(aim.y - middle.y)) <= SLIP_POINTS:
            size = picture_size(self._bench.facts)
            known = cover if cover.seen is not None or not self._covers() else self._covers()[0]
            half = usual_size(known, int(frame), size[1] if size else 0)
        return FacePlace(frame, middle.u, middle.v, *half)

    def _show(self, drawn: FacePlace | None) -> None:
        held, covers = self.cover, self._covers()
        if held is None:
            self._surface.show_ghost(Scene())
            return
        rings = [
            ring
            for cover in (*(one for one in covers if one.number != held.number), held)
            if (ring := self._ring(cover, drawn if cover is held else None, chosen=cover is held)) is not None
        ]
        self._surface.show_ghost(Scene(rings=tuple(rings)))

    def _ring(self, cover: FaceCover, drawn: FacePlace | None, *, chosen: bool) -> Ring | None:
        frame = int(self._bench.frame)
        place = drawn or face_between(cover, frame)
        if place is None:
            return None
        look = Look.PLACED if drawn is not None or cover.on(frame) is not None else Look.GUESSED
        name = str(cover.number) if len(self._covers()) + (cover.seen is None) > 1 else ""
        return Ring(place.u, place.v, place.half_u, place.half_v, look, name, chosen)
