"""How both pictures are shown: at one scale, mirrored, with numbers and posture over them."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject, Signal, Slot

from analysis.values.words import tr
from app.actions import Actions
from app.compare.pairing import Pairing
from app.compare.sides import TwoSides
from app.compare.twin_views import TwinViews
from app.run.posture_drawing import PostureDrawing


class TwoPictures(QObject):
    """What the coach chooses for both pictures, or for the one in hand.

    Signals: said(str): a sentence for the coach.
    """

    said = Signal(str)

    def __init__(self, sides: TwoSides, pairing: Pairing, actions: Actions, parent: QObject) -> None:
        super().__init__(parent)
        self._sides, self._pairing, self._actions = sides, pairing, actions
        self._drawing: PostureDrawing | None = None
        self._twins = TwinViews(sides, self)
        pairing.laid.connect(self._laid)
        actions["numbers"].toggled.connect(self.show_numbers)
        for side in sides:
            side.mirror.clicked.connect(pairing.keep)
        actions.do("same_scale", self._same_scale)
        actions.do("mirror", self._mirror)
        self._laid()

    def show_lanes(self) -> None:
        """Both lanes as the frames on show have them: where a camera turned, they lie elsewhere now."""
        self._twins.show()

    def turned(self) -> None:
        """The lower film is the upper one now."""
        self._twins.turned()

    def draw_as(self, drawing: PostureDrawing) -> None:
        """Have posture lie over both pictures as it does over the one of a single run."""
        self._drawing = drawing
        drawing.changed.connect(self._draw)
        self._draw()

    @Slot()
    def show_numbers(self) -> None:
        """Numbers over both, or none."""
        for side in self._sides:
            side.set_numbers(self._actions["numbers"].isChecked())

    @Slot()
    def _draw(self) -> None:
        if self._drawing is None:
            return
        # chosen frames and the measure in hand are those of one run
        drawn = replace(self._drawing.drawn, frames=frozenset(), focus=None)
        for side in self._sides:
            side.set_drawn(drawn)

    @Slot()
    def _mirror(self) -> None:
        self._sides.in_hand.mirror.toggle()
        self._pairing.keep()

    @Slot()
    def _same_scale(self) -> None:
        wanted = self._pairing.same_scale = self._actions["same_scale"].isChecked()
        self._pairing.keep()
        self._twins.want(wanted)
        if wanted and not self._twins.linked:
            self.said.emit(tr("Mark the same stretch of the lane in both runs to show one scale."))

    @Slot()
    def _laid(self) -> None:
        self._actions["same_scale"].setChecked(self._pairing.same_scale)
        self._twins.want(self._pairing.same_scale)
