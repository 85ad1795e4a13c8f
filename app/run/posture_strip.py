"""The posture strip under the film: the frames of the tagged events side by side, at one scale."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from analysis.report.posture_strip import PostureStrip, angle_words, moment_words, posture_strip
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.film.transport import tool_button
from app.run.drawn_frames import DrawnFrames
from app.run.late_panel import LatePanel
from app.run.strip_export import StripExport, StripsWanted
from app.run.strip_pictures import StripPictures
from app.run.strip_tile import StripTile
from app.run.writer import Writer
from app.share_bar import ShareBar
from app.theme.tokens import Space

_LEAST_PX, _ROOM_FOR_ANGLES_PX = 60, 220
_ALL_LINES = 3


class PostureStripPanel(LatePanel):
    """Made frame by frame, while it is in sight.

    Signals:
        frame_requested(int): the coach chose a frame of the strip.
    """

    frame_requested = Signal(int)

    def __init__(self, bench: Bench, actions: Actions, writer: Writer, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._strip = PostureStrip()
        self._drawn = DrawnFrames()
        self.tiles: list[StripTile] = []
        self.pictures = StripPictures(bench, self)
        self._lay_out(actions)
        self.pictures.went_on.connect(self.bar.show_share)
        self.pictures.came.connect(self._came)
        self.pictures.failed.connect(self._failed)
        title = tr("Export the posture strip")
        self.export = StripExport(bench, writer, title, self._wanted, self)
        actions.do("export_strip", self.export.ask)

    @property
    def working(self) -> bool:
        """Whether something is still to be made or drawn."""
        return super().working or self.pictures.busy

    def show_reading(self) -> None:
        """The reading of the run at hand is another one."""
        self.make_later()

    def set_frame(self, frame: int) -> None:
        """Say which frame the film shows."""
        for tile in self.tiles:
            here = tile.frame == frame
            if here and not tile.here:
                self.area.ensureWidgetVisible(tile)
            tile.set_here(here)

    def shutdown(self) -> None:
        """Stop what goes on."""
        super().shutdown()
        self.pictures.shutdown()

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 100)

    def _lay_out(self, actions: Actions) -> None:
        self.setAccessibleName(tr("Posture strip"))
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.bar = ShareBar(self)
        self.bar.setAccessibleName(tr("How many of the film's pictures were taken"))
        self.bar.hide()
        row = QWidget()
        row.setProperty("role", "panel")
        row.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._row = QHBoxLayout(row)
        self._row.setContentsMargins(Space.BASE, Space.TIGHT, Space.BASE, 0)
        self._row.setSpacing(Space.TIGHT)
        self._row.addStretch(1)
        self.area = QScrollArea(self)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setWidgetResizable(True)
        self.area.setWidget(row)
        self.area.setAccessibleName(tr("Frames of the tagged events"))
        self.button = tool_button(actions, "export_strip", self)
        self.button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        head = QHBoxLayout()
        head.setContentsMargins(Space.BASE, Space.HAIR, Space.BASE, 0)
        head.setSpacing(Space.BASE)
        head.addWidget(self.words, 1)
        head.addWidget(self.bar, 1, Qt.AlignmentFlag.AlignVCenter)
        head.addWidget(self.button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.area, 1)

    def _make(self) -> None:
        """Put up a place for every frame, and ask for the pictures that are missing."""
        self._strip = strip_of(self._bench)
        shown = self._strip.frames
        self._say(self._note())
        self.button.setEnabled(bool(shown))
        self._count(len(shown))
        height, lines = self._room()
        size = QSize(max(1, round(height * self._strip.shape)), height)
        for tile, one in zip(self.tiles, shown, strict=True):
            words = (moment_words(one.moment, one.side), *map(angle_words, one.angles))
            tile.show_words(int(one.frame), words, size, lines)
            tile.show_image(self._drawn.image(int(one.frame)))
        self.set_frame(self._bench.frame)
        if shown and self._bench.film is not None:
            self.pictures.want(one.frame for one in shown)
        self.bar.setVisible(self.pictures.busy)

    def _note(self) -> str:
        strip = self._strip
        if not strip.frames:
            return strip.reason
        if strip.missing:
            words = tr("Not shown, since nothing tells where the athlete is: {events}. Place hips there.")
            return words.format(events=", ".join(strip.missing))
        if strip.width_m is None:
            return tr("No scale: without marks the frames show equally many pixels. A click goes to a frame.")
        return tr("One scale for all. A click goes to the frame.")

    def _say(self, sentence: str) -> None:
        self.words.setText(sentence)

    def _count(self, wanted: int) -> None:
        while len(self.tiles) > wanted:
            tile = self.tiles.pop()
            self._row.removeWidget(tile)
            tile.hide()
            tile.deleteLater()
        while len(self.tiles) < wanted:
            tile = StripTile(self)
            tile.clicked.connect(self._clicked)
            self._row.insertWidget(len(self.tiles), tile)
            self.tiles.append(tile)

    def _room(self) -> tuple[int, int]:
        """How high a picture can be, and how many lines of words stand under it."""
        room = self.area.height() - self.area.horizontalScrollBar().sizeHint().height() - 2 * Space.TIGHT
        lines = _ALL_LINES if room > _ROOM_FOR_ANGLES_PX else 1
        return max(_LEAST_PX, room - StripTile.words_height(self, lines)), lines

    def _draw_next(self) -> bool:
        """Draw the first frame that is not drawn as it now is."""
        height, _ = self._room()
        return self._drawn.draw_next(self.tiles, self._strip.frames, self.pictures.kept, height)

    @Slot()
    def _came(self) -> None:
        self.bar.setVisible(self.pictures.busy)
        self.draw_on()

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        self.bar.hide()
        self._say(sentence)

    def _wanted(self) -> StripsWanted:
        """What would be written now."""
        strip, run = strip_of(self._bench), self._bench.run
        if run is None or not strip.frames or self._bench.film is None:
            return StripsWanted(why_not=strip.reason or tr("The film is not shown: find it first."))
        return StripsWanted((run,))

    @Slot()
    def _clicked(self) -> None:
        tile = self.sender()
        if isinstance(tile, StripTile):
            self.frame_requested.emit(tile.frame)


def strip_of(bench: Bench) -> PostureStrip:
    """The strip of the run at hand; empty, with what to do, where there is none."""
    evidence, reading = bench.evidence, bench.reading
    if evidence is None or reading is None:
        return PostureStrip(reason=tr("Open a film and tag a run: the frames of its events stand here."))
    return posture_strip(evidence, reading)
