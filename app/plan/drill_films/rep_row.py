"""Pictures of the reps in a row at the same event, at one scale; a click goes to the frame."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QSize, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QImage, QResizeEvent
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from analysis.reading.drills import DrillReading
from analysis.report.ink import Ink
from analysis.report.rep_row import RepPicture, RepRow, Which, rep_row
from analysis.report.scene import Scene
from analysis.report.strip_drawing import frame_picture
from analysis.values.drill_film import EVENTS_OF, DrillEvent
from analysis.values.evidence import Evidence
from analysis.values.words import capital, tr
from app.bench import Bench
from app.marking.drilling import EVENT_WORDS
from app.run.strip_pictures import StripPictures
from app.run.strip_tile import StripTile
from app.theme.apply import current_theme
from app.theme.tokens import Space

_LEAST_PX, _LINES_FROM_PX = 60, 200
_LINES = 2


class RepRowView(QWidget):
    """The row with its two choices: which event, which reps.

    Signals:
        frame_requested(int): the coach chose a picture.
    """

    frame_requested = Signal(int)

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent)
        self._seen: tuple[Evidence, DrillReading] | None = None
        self._row = RepRow()
        self._drawn: dict[tuple[int, int], tuple[object, QImage]] = {}
        self.tiles: list[StripTile] = []
        self.pictures = StripPictures(bench, self)
        self.pictures.came.connect(self._draw)
        self.pictures.failed.connect(self._say)
        self.event_choice = QComboBox(self)
        self.event_choice.setAccessibleName(tr("Event at which the reps stand side by side"))
        self.which_choice = QComboBox(self)
        self.which_choice.setAccessibleName(tr("Which reps stand side by side"))
        for which, words in ((Which.FEW, tr("First, best and last")), (Which.ALL, tr("All reps"))):
            self.which_choice.addItem(words, which)
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._make)
        for choice in (self.event_choice, self.which_choice):
            choice.activated.connect(self._again)
        self._lay_out()

    def _lay_out(self) -> None:
        row = QWidget()
        self._tiles = QHBoxLayout(row)
        self._tiles.setContentsMargins(Space.BASE, 0, Space.BASE, 0)
        self._tiles.setSpacing(Space.TIGHT)
        self._tiles.addStretch(1)
        self.area = QScrollArea(self)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setWidgetResizable(True)
        self.area.setWidget(row)
        self.area.setAccessibleName(tr("Reps side by side"))
        head = QHBoxLayout()
        head.setContentsMargins(Space.BASE, Space.TIGHT, Space.BASE, 0)
        head.setSpacing(Space.BASE)
        head.addWidget(self.event_choice)
        head.addWidget(self.which_choice)
        head.addWidget(self.words, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.HAIR)
        column.addLayout(head)
        column.addWidget(self.area, 1)

    def minimumSizeHint(self) -> QSize:
        return QSize(240, 140)

    def show_reading(self, evidence: Evidence | None, reading: DrillReading | None) -> None:
        """The reps of the film at hand; None for none."""
        self._seen = None if evidence is None or reading is None else (evidence, reading)
        events = () if reading is None else EVENTS_OF[reading.film.kind]
        if tuple(self.event_choice.itemData(n) for n in range(self.event_choice.count())) != events:
            self.event_choice.clear()
            for event in events:
                self.event_choice.addItem(capital(EVENT_WORDS[event]), event)
            wanted = DrillEvent.RELEASE if DrillEvent.RELEASE in events else DrillEvent.PUSH_OFF
            self.event_choice.setCurrentIndex(max(self.event_choice.findData(wanted), 0))
        self._again()

    def set_frame(self, frame: int) -> None:
        """Say which frame the film shows."""
        for tile in self.tiles:
            tile.set_here(tile.frame == frame)

    def shutdown(self) -> None:
        """Stop what goes on."""
        self._later.stop()
        self.pictures.shutdown()

    @property
    def working(self) -> bool:
        """Whether something is still to be made."""
        return self._later.isActive() or self.pictures.busy

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._again()

    @Slot()
    def _again(self) -> None:
        self._later.start(0)

    @Slot()
    def _make(self) -> None:
        event, which = self.event_choice.currentData(), Which(self.which_choice.currentData())
        self._row = RepRow()
        if self._seen is not None and event is not None:
            self._row = rep_row(*self._seen, DrillEvent(event), which)  # Qt gives back the plain text
        self._say(self._note())
        self._count(len(self._row.pictures))
        height = self._height()
        size = QSize(max(1, round(height * self._row.shape)), height)
        lines = min(_LINES, max((len(one.words) for one in self._row.pictures), default=1))
        for tile, one in zip(self.tiles, self._row.pictures, strict=True):
            tile.show_words(one.frame, one.words, size, lines)
        if self._row.pictures:
            self.pictures.want(one.frame for one in self._row.pictures)
        self._draw()

    def _note(self) -> str:
        row = self._row
        if not row.pictures:
            return row.reason
        if row.width_m is None:
            return tr("No scale, or no body points: each shows the whole picture. A click goes to the frame.")
        return tr("One scale for all. A click goes to the frame.")

    @Slot(str)
    def _say(self, sentence: str) -> None:
        self.words.setText(sentence)

    def _height(self) -> int:
        bar = self.area.horizontalScrollBar().sizeHint().height()
        room = self.area.height() - bar - Space.TIGHT - StripTile.words_height(self, _LINES)
        return max(_LEAST_PX, room)

    def _count(self, wanted: int) -> None:
        while len(self.tiles) > wanted:
            tile = self.tiles.pop()
            self._tiles.removeWidget(tile)
            tile.hide()
            tile.deleteLater()
        while len(self.tiles) < wanted:
            tile = StripTile(self)
            tile.clicked.connect(self._clicked)
            self._tiles.insertWidget(len(self.tiles), tile)
            self.tiles.append(tile)

    @Slot()
    def _draw(self) -> None:
        theme = current_theme()
        ink = Ink(theme.left.fill, theme.right.fill, beyond=theme.backdrop)
        high = round(self._height() * self.devicePixelRatioF())
        for tile, one in zip(self.tiles, self._row.pictures, strict=False):
            jpeg = self.pictures.kept.get(one.frame)
            tile.show_image(None if not jpeg else self._image(jpeg, one, high, ink))

    def _image(self, jpeg: bytes, one: RepPicture, high: int, ink: Ink) -> QImage:
        if high < _LINES_FROM_PX:  # so small, lines and points would hide what they lie on
            one = replace(one, scene=Scene())
        key = (one.box, one.scene, ink)
        known = self._drawn.get((one.frame, high))
        if known is None or known[0] != key:
            picture = frame_picture(jpeg, one, high, ink)
            held, across = picture.tobytes(), 3 * picture.width
            image = QImage(held, picture.width, picture.height, across, QImage.Format.Format_RGB888).copy()
            known = self._drawn[one.frame, high] = (key, image)
        return known[1]

    @Slot()
    def _clicked(self) -> None:
        tile = self.sender()
        if isinstance(tile, StripTile):
            self.frame_requested.emit(tile.frame)
