"""One film of a narration: its picture with what a stop draws, the pen, the rail and the numbers."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.report.marks_seen import marks_in
from analysis.report.narrated import USUAL, layers_of, meet_of, narrated
from analysis.report.other_body import other_body
from analysis.report.run_scene import scene_over
from analysis.report.scene import OtherBody
from analysis.values.narration import Overlay, Zoom
from app.bench import Look
from app.film.body_run import body_run
from app.film.mapping import ViewMapping
from app.film.pane import FilmPane
from app.film.ticker import Ticker
from app.film.view import FrameView
from app.narrate.numbers_beside import NumbersBeside
from app.narrate.pen import PenLayer
from app.narrate.stand import framed
from app.rail.rail import StepRail


class Screen(QObject):
    """Attributes: ``pane``, ``pen`` over its picture, ``rail`` and ``numbers`` to be laid out beside it.

    ``beside``: the run on the other film, where there are two.
    """

    def __init__(
        self, look: Look, ticker: Ticker, budget_bytes: int, parent: QWidget, beside: Look | None = None
    ) -> None:
        super().__init__(parent)
        self.look = look
        self._shown: tuple[Overlay, ...] = USUAL
        self._zoom: Zoom | None = None
        self.pane = FilmPane(parent, ticker=ticker, budget_bytes=budget_bytes)
        self.pen = PenLayer(self.pane.view)
        self.rail = StepRail(parent)
        self.numbers = NumbersBeside(parent)
        self._body, self._other = body_run(look), body_run(beside)
        self._events = frozenset() if self._body is None else frozenset(self._body.moments().values())
        self._marks = None if look.evidence is None else marks_in(look.evidence, look.run)
        self.pane.frame_shown.connect(self._frame_shown)
        self.rail.frame_requested.connect(self.pane.go_to)
        self.pane.set_film(look.film)
        self.pane.cover(look.run.first_frame, look.run.last_frame)
        if look.facts is not None:
            self.rail.show_run(look.run, look.facts.times, look.reading)
        self.show_as(USUAL, None)

    @property
    def frame(self) -> int:
        """The frame on show, or on its way."""
        return int(self.pane.shown if self.pane.shown >= 0 else self.pane.wanted)

    def show_as(self, shown: tuple[Overlay, ...], zoom: Zoom | None) -> None:
        """Draw these overlays, and show that part of the picture."""
        self._shown = shown
        self.rail.setVisible(Overlay.RAIL in shown)
        if zoom != self._zoom or zoom is None:
            self._zoom = zoom
            self.pane.view.set_fitting(None if zoom is None else partial(_framed, self.pane.view, zoom))
        self._frame_shown()

    @Slot()
    def _frame_shown(self) -> None:
        look, frame = self.look, self.frame
        tracks = None if look.evidence is None else look.evidence.tracks
        scene = scene_over(
            look.run,
            look.reading,
            frame,
            numbers=Overlay.NUMBERS in self._shown,
            marks=self._marks,
            tracks=tracks,
            drawn=layers_of(self._shown),
        )
        scene = replace(narrated(scene, self._shown), other=self._other_body(frame))
        self.pane.view.set_scene(scene, None)
        self.rail.set_frame(self.pane.wanted)
        self.numbers.show_frame(look.reading, frame)

    def _other_body(self, frame: int) -> OtherBody | None:
        """The other run's body, where a stop wants it and both runs have an event here; as in a film."""
        meet = meet_of(self._shown)
        if meet is None or self._body is None or self._other is None or frame not in self._events:
            return None
        found = other_body(self._body, frame, self._other, meet)
        return found if found.strokes else None

    def shutdown(self) -> None:
        """Let go of the film."""
        self.pane.shutdown()


def _framed(view: FrameView, zoom: Zoom, whole: ViewMapping) -> ViewMapping:
    return framed(zoom, (view.width(), view.height()), whole)
