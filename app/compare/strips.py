"""The page of both posture strips: one above the other, event over event, at one scale."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from analysis.report.posture_strip import StripFrame, angle_words, moment_words
from analysis.report.strip_pair import StripPair, strip_pair
from analysis.values.film import Film
from analysis.values.run import Run
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.film.transport import tool_button
from app.run.drawn_frames import DrawnFrames
from app.run.late_panel import LatePanel
from app.run.strip_pictures import StripPictures
from app.run.strip_tile import StripTile
from app.theme.tokens import Space

_LINES, _LEAST_PX, _WANTED_PX = 3, 60, 620


class _Row:
    """One run's strip: its pictures, what was drawn of them, its tiles in order of the events."""

    def __init__(self, bench: Bench, side: CompareSide, parent: QWidget) -> None:
        self.side = side
        self.pictures = StripPictures(bench, parent, self._film)
        self.drawn = DrawnFrames()
        self.tiles: list[StripTile] = []
        self.frames: tuple[StripFrame, ...] = ()
        self.mirrored = False
        self.name = QLabel(parent)
        self.name.setProperty("role", "caption")

    def _film(self) -> tuple[Run | None, Film | None]:
        look = self.side.look
        return (None, None) if look is None else (look.run, look.film)


class PairStrips(LatePanel):
    """Made frame by frame, while it is in sight.

    Signals: asked(bool, int): of the lower film (True) or the upper one, this frame.
    """

    asked = Signal(bool, int)

    def __init__(self, bench: Bench, sides: TwoSides, actions: Actions, parent: QWidget) -> None:
        super().__init__(parent)
        self._sides = sides
        self.pair = StripPair()
        self._rest_on: tuple[object, ...] = ()
        self._rows = {side: _Row(bench, side, self) for side in sides}
        self._lay_out(actions)
        for row in self._rows.values():
            row.pictures.came.connect(self.draw_on)
            row.pictures.failed.connect(self.words.setText)

    @property
    def working(self) -> bool:
        """Whether something is still to be made or drawn."""
        return super().working or any(row.pictures.busy for row in self._rows.values())

    def pictures_of(self, side: CompareSide) -> StripPictures:
        """The pictures of one side's film."""
        return self._rows[side].pictures

    def tiles_of(self, side: CompareSide) -> list[StripTile]:
        """The tiles of one side, in order of the events."""
        return self._rows[side].tiles

    def sizeHint(self) -> QSize:
        return QSize(_WANTED_PX, 480)

    @Slot()
    def refresh(self) -> None:
        """One of the runs is another, or reads otherwise."""
        self.make_later()

    def set_frames(self) -> None:
        """Mark the frames on show."""
        for row in self._rows.values() if self.isVisible() else ():
            for tile in row.tiles:
                tile.set_here(tile.frame == row.side.frame)

    def shutdown(self) -> None:
        """Stop what goes on."""
        super().shutdown()
        for row in self._rows.values():
            row.pictures.shutdown()

    def make_pair(self) -> StripPair:
        """Both strips as the runs stand now; empty where one is missing."""
        looks = [side.look for side in self._sides]
        told = [(look.evidence, look.reading) for look in looks if look is not None]
        known = [(e, r) for e, r in told if e is not None and r is not None]
        rest_on = tuple(part for pair in known for part in pair)
        if len(known) < 2:
            return StripPair()
        if len(rest_on) != len(self._rest_on) or any(
            a is not b for a, b in zip(rest_on, self._rest_on, strict=True)
        ):
            self._rest_on = rest_on
            self.pair = strip_pair(known[0], known[1])
        return self.pair

    def _lay_out(self, actions: Actions) -> None:
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.words.setProperty("role", "caption")
        self.button = tool_button(actions, "export_strips", self)
        self.button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        inside = QWidget()
        inside.setProperty("role", "panel")
        inside.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._grid = QGridLayout(inside)
        self._grid.setContentsMargins(Space.BASE, Space.TIGHT, Space.BASE, 0)
        self._grid.setSpacing(Space.TIGHT)
        self.area = QScrollArea(self)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setWidgetResizable(True)
        self.area.setWidget(inside)
        self.area.setAccessibleName(tr("Frames of the tagged events of both runs"))
        head = QHBoxLayout()
        head.addWidget(self.words, 1)
        head.addWidget(self.button)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.WIDE, Space.BASE, Space.BASE, Space.BASE)
        column.setSpacing(Space.BASE)
        column.addLayout(head)
        column.addWidget(self.area, 1)

    def _make(self) -> None:
        """Put up a place for every event of both, and ask for the pictures that are missing."""
        pair = self.make_pair()
        self.words.setText(self._note(pair))
        self.button.setEnabled(bool(pair.columns))
        height = self._height()
        size = QSize(max(1, round(height * pair.shape)), height)
        for number, (side, strip) in enumerate(zip(self._sides, (pair.upper, pair.lower), strict=True)):
            row = self._rows[side]
            row.frames = strip.frames
            row.mirrored = pair.mirrored and side is self._sides.lower
            name = "" if side.look is None else side.look.run.name
            row.name.setText(tr("{title}, mirrored").format(title=name) if row.mirrored else name)
            self._grid.addWidget(row.name, 2 * number, 0, 1, max(1, len(pair.columns)))
            self._count(row, len(strip.frames))
            frames = [(c.upper, c.lower)[number] for c in pair.columns]
            places = [place for place, frame in enumerate(frames) if frame is not None]
            for tile, one, place in zip(row.tiles, strip.frames, places, strict=True):
                words = (moment_words(one.moment, one.side), *map(angle_words, one.angles))
                tile.show_words(int(one.frame), words, size, _LINES)
                tile.show_image(row.drawn.image(int(one.frame)))
                self._grid.addWidget(tile, 2 * number + 1, place, Qt.AlignmentFlag.AlignTop)
            if strip.frames:
                row.pictures.want(one.frame for one in strip.frames)
        self.set_frames()

    def _note(self, pair: StripPair) -> str:
        if not pair.columns:
            return pair.upper.reason or pair.lower.reason or tr("Choose two runs.")
        for side, strip in zip(self._sides, (pair.upper, pair.lower), strict=True):
            if not strip.frames and side.look is not None:
                return f"{side.look.run.name}: {strip.reason}"
        if not pair.one_scale:
            return tr("No one scale: set marks of known distance in both runs. A click goes to a frame.")
        if pair.upper.width_m is None:
            return tr("No scale: without marks the frames show equally many pixels. A click goes to a frame.")
        return tr("One scale for both. A click goes to the frame.")

    def _height(self) -> int:
        """How high a picture can be, so that both rows are in sight."""
        bar = self.area.horizontalScrollBar().sizeHint().height()
        name = self.fontMetrics().height() + 2 * Space.TIGHT
        room = (self.area.height() - bar - 2 * Space.BASE) // 2 - name
        return max(_LEAST_PX, room - StripTile.words_height(self, _LINES) - Space.BASE)

    def _count(self, row: _Row, wanted: int) -> None:
        while len(row.tiles) > wanted:
            tile = row.tiles.pop()
            self._grid.removeWidget(tile)
            tile.hide()
            tile.deleteLater()
        while len(row.tiles) < wanted:
            tile = StripTile(self)
            tile.clicked.connect(self._clicked)
            row.tiles.append(tile)

    def _draw_next(self) -> bool:
        height = self._height()
        return any(
            row.drawn.draw_next(row.tiles, row.frames, row.pictures.kept, height, mirrored=row.mirrored)
            for row in self._rows.values()
        )

    @Slot()
    def _clicked(self) -> None:
        tile = self.sender()
        for row in self._rows.values():
            if isinstance(tile, StripTile) and tile in row.tiles:
                self.asked.emit(row.side is self._sides.lower, tile.frame)
