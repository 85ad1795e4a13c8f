"""Cover a face: press in its middle and drag beyond its edge, or click for one of the size before."""

from __future__ import annotations

from analysis.report.marks_seen import picture_size
from analysis.report.scene import Look, Ring, Scene
from analysis.values.face_cover import FacePlace
from analysis.values.words import tr
from app.bench import Bench
from app.film.tools.body_walk import SLIP_POINTS
from app.film.tools.tool import Aim, Surface, Tool
from app.marking.faces import cover_of, face_between, place_face, usual_size


class FaceTool(Tool):
    """One place a frame; between two of them the cover follows the face when the film is written."""

    id = "face_tool"
    placing = True

    def __init__(self, bench: Bench, surface: Surface) -> None:
        self._bench = bench
        self._surface = surface
        self._middle: Aim | None = None

    def asks(self) -> str:
        """What to do, and where the cover was placed."""
        run = self._bench.run
        places = () if run is None else cover_of(self._bench.project, run).places
        if not places:
            return tr("Press in the middle of the face and drag beyond its edge.")
        if len(places) == 1:
            words = tr(
                "Covered on frame {first} alone: drag over the face, or click its middle, on later ones."
            )
        else:
            words = tr("Drag over the face, or click its middle. Covered from frame {first} to {last}.")
        return words.format(first=places[0].frame, last=places[-1].frame)

    def keys(self) -> str:
        """How to leave."""
        return tr("Escape ends.")

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

    def press(self, aim: Aim) -> None:
        """The middle of the face."""
        self._middle = aim

    def move(self, aim: Aim, down: bool) -> None:
        """Show the cover as it would be."""
        if down and self._middle is not None:
            self._show(self._drawn(aim))

    def release(self, aim: Aim) -> None:
        """Cover it."""
        run, place = self._bench.run, self._drawn(aim)
        self._middle = None
        if run is not None and place is not None:
            self._bench.attempt(lambda: place_face(self._bench.project, run, place))
        self._show(None)

    def escape(self) -> bool:
        """Drop what is half drawn."""
        drawing, self._middle = self._middle is not None, None
        self._show(None)
        return drawing

    def _drawn(self, aim: Aim) -> FacePlace | None:
        run, middle, frame = self._bench.run, self._middle, self._bench.frame
        if run is None or middle is None:
            return None
        half = abs(aim.u - middle.u), abs(aim.v - middle.v)
        if max(abs(aim.x - middle.x), abs(aim.y - middle.y)) <= SLIP_POINTS:
            size = picture_size(self._bench.facts)
            half = usual_size(cover_of(self._bench.project, run), int(frame), size[1] if size else 0)
        return FacePlace(frame, middle.u, middle.v, *half)

    def _show(self, drawn: FacePlace | None) -> None:
        run, frame = self._bench.run, int(self._bench.frame)
        cover = None if run is None else cover_of(self._bench.project, run)
        place = drawn or (None if cover is None else face_between(cover, frame))
        if cover is None or place is None:
            self._surface.show_ghost(Scene())
            return
        look = Look.PLACED if drawn is not None or cover.on(frame) is not None else Look.GUESSED
        ring = Ring(place.u, place.v, place.half_u, place.half_v, look)
        self._surface.show_ghost(Scene(rings=(ring,)))
