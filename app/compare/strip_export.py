"""Both posture strips as one picture file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal, Slot

from analysis.jobs.export import write_whole
from analysis.report.strip_drawing import pair_picture
from analysis.report.strip_pair import StripPair
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr
from app import asking
from app.compare.sides import TwoSides
from app.compare.strips import PairStrips


class PairExport(QObject):
    """Asks where to, waits for the pictures of both films, writes the strips.

    Signals: said(str): a sentence for the coach.
    """

    said = Signal(str)

    def __init__(self, sides: TwoSides, strips: PairStrips, parent: QObject) -> None:
        super().__init__(parent)
        self._sides, self._strips = sides, strips
        self._waiting: tuple[Path, StripPair, tuple[str, str]] | None = None
        for side in sides:
            pictures = strips.pictures_of(side)
            pictures.came.connect(self._write)
            pictures.failed.connect(self._failed)

    @Slot()
    def ask(self) -> None:
        """Export both strips as they are now; says why where it can't be."""
        pair = self._strips.make_pair()
        looks = [side.look for side in self._sides]
        if not pair.columns or any(look is None or look.film is None for look in looks):
            self.said.emit(pair.upper.reason or tr("Both films have to be shown: find them first."))
            return
        path = asking.place_to_save(self._strips, tr("Export both posture strips"), tr("Picture"), ".png")
        if path is None:
            return
        upper, lower = (look.run.name if look is not None else "" for look in looks)
        self._waiting = path, pair, (upper, lower)
        for side, strip in zip(self._sides, (pair.upper, pair.lower), strict=True):
            self._strips.pictures_of(side).want(frame.frame for frame in strip.frames)
        self._write()

    @Slot()
    def _write(self) -> None:
        held = [self._strips.pictures_of(side) for side in self._sides]
        if self._waiting is None or any(pictures.busy for pictures in held):
            return
        (path, pair, names), self._waiting = self._waiting, None
        try:
            write_whole(path, pair_picture(pair, (held[0].kept, held[1].kept), names))
            self.said.emit(tr("Both posture strips are in {path}.").format(path=path))
        except CinderlaneError as error:
            self.said.emit(str(error))

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        if self._waiting is not None:
            self._waiting = None
            self.said.emit(sentence)
