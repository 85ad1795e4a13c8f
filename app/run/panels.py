"""How the window is divided: film, tables under it, rail and reading beside it."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QEvent, QSize, Qt, QTimer, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QTabWidget, QWidget

from analysis.values.words import tr
from app.run.pages import Pages
from app.theme.tokens import Space

FILM_SHARE = 0.6
"""How much of the width the film is given where the others have what they need."""

LEAST_FILM_SHARE = 0.45
"""With less than this left for the film, the reading goes under it."""

_UNDER_PX = 210
_AROUND_TITLE_PX = 2 * Space.WIDE + 4
"""What a tab is wider than its words (app/theme/sheet.py)."""

Panel = tuple[QWidget, str]


class Panels(QWidget):
    """The film takes what the others leave; where text is large or the window narrow, the reading goes below.

    Attributes: ``under`` the tabs under the film, ``side`` those beside the rail, ``across`` and ``upright``
    the dividers. A division made by hand stays until the size of the text changes.
    """

    def __init__(
        self,
        tools: QWidget,
        film: QWidget,
        rail: QWidget,
        tables: tuple[Panel, ...],
        reading: tuple[Panel, ...],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._tools, self._film, self._rail, self._reading = tools, film, rail, reading
        self._by_hand = False
        self._narrow = False
        self._line = 0
        self._soon = QTimer(self, singleShot=True)
        self._soon.timeout.connect(self._text_changed)
        self.under = _tabs(tr("Numbers of every step"), tables, self)
        self.side = _tabs(tr("Reading and marks"), reading, self)
        self.upright = _splitter(Qt.Orientation.Vertical, (film, self.under), self)
        self.across = _splitter(Qt.Orientation.Horizontal, (self.upright, rail, self.side), self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(1)
        row.addWidget(tools)
        row.addWidget(self.across, 1)
        self.upright.setSizes([1000, _UNDER_PX])
        for splitter in (self.across, self.upright):
            splitter.splitterMoved.connect(self._moved)

    @property
    def narrow(self) -> bool:
        """Whether the reading stands under the film."""
        return self._narrow

    def show_panel(self, panel: QWidget) -> None:
        """Bring a table, chart or reading to the front, wherever it stands."""
        for tabs in (self.under, self.side):
            for place in range(tabs.count()):
                held = tabs.widget(place)
                if held is panel or (held is not None and held.isAncestorOf(panel)):
                    tabs.setCurrentIndex(place)
                    if isinstance(held, Pages):
                        held.show_page(panel)

    def state(self) -> str:
        """The division made by hand, as a line; empty where there is none."""
        if not self._by_hand:
            return ""
        parts = (bytes(s.saveState().toBase64().data()).decode() for s in (self.across, self.upright))
        return " ".join(parts)

    def restore(self, state: str) -> None:
        """Divide as ``state`` says; anything else leaves it."""
        parts = state.encode(errors="ignore").split()
        if len(parts) == 2:
            done = [
                splitter.restoreState(QByteArray.fromBase64(part))
                for splitter, part in zip((self.across, self.upright), parts, strict=True)
            ]
            self._by_hand = all(done)

    def minimumSizeHint(self) -> QSize:
        """What film and rail need; the reading can go under the film."""
        tools, film = self._tools.minimumSizeHint(), self._film.minimumSizeHint()
        rail = self._rail.minimumSizeHint()
        under = self.under.minimumSizeHint()
        width = tools.width() + max(film.width(), under.width()) + rail.width() + 20
        return QSize(width, max(tools.height(), rail.height(), film.height() + under.height() + 10))

    def sizeHint(self) -> QSize:
        """It takes what is left: what it would like must not squeeze the bar above it."""
        return self.minimumSizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out the new width."""
        super().resizeEvent(event)
        self.divide()

    def changeEvent(self, event: QEvent) -> None:
        """Other text needs other widths."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange) and hasattr(self, "across"):
            line = self.fontMetrics().height()
            if line != self._line:
                self._by_hand = self._by_hand and not self._line
                self._line = line
                self.updateGeometry()
                self._soon.start()

    @Slot()
    def _text_changed(self) -> None:
        """A tab bar now and then misses the new size when a style sheet goes through the widgets."""
        for tabs in (self.under, self.side):
            tabs.style().polish(tabs.tabBar())
        self.divide()

    def divide(self) -> None:
        """Give rail and reading what they need, at most what they can use, and the film the rest."""
        room = self.width() - self._tools.minimumSizeHint().width() - 12
        rail, side = self._rail.minimumSizeHint().width(), self._side_width()
        self._put_reading(narrow=room - rail - side < LEAST_FILM_SHARE * room)
        if self._by_hand:
            return
        spare = int(room * (1 - FILM_SHARE))
        rail = max(rail, min(self._rail.sizeHint().width(), spare if self._narrow else spare // 2))
        side = 0 if self._narrow else max(side, min(self.side.sizeHint().width(), spare - rail))
        self.across.setSizes([max(1, room - rail - side), rail, side])

    def _side_width(self) -> int:
        words = self.side.tabBar().fontMetrics()
        tabs = sum(words.horizontalAdvance(title) + _AROUND_TITLE_PX for _, title in self._reading)
        return max(tabs, *(panel.minimumSizeHint().width() for panel, _ in self._reading)) + 4

    def _put_reading(self, *, narrow: bool) -> None:
        if narrow == self._narrow:
            return
        self._narrow = narrow
        tabs = self.under if narrow else self.side
        bar = self.under.tabBar()
        bar.setProperty("role", "tight" if narrow else "")  # all of them have to stand in one line then
        bar.style().polish(bar)
        for panel, title in self._reading:
            tabs.addTab(panel, title)
        self.side.setVisible(not narrow)

    @Slot()
    def _moved(self) -> None:
        self._by_hand = True


def _tabs(name: str, panels: tuple[Panel, ...], parent: QWidget) -> QTabWidget:
    tabs = QTabWidget(parent)
    tabs.setAccessibleName(name)
    tabs.setDocumentMode(True)
    tabs.setUsesScrollButtons(False)  # too small a target; with large text titles are shortened instead
    tabs.setElideMode(Qt.TextElideMode.ElideRight)
    for panel, title in panels:
        tabs.addTab(panel, title)
    return tabs


def _splitter(direction: Qt.Orientation, parts: tuple[QWidget, ...], parent: QWidget) -> QSplitter:
    splitter = QSplitter(direction, parent)
    for place, part in enumerate(parts):
        splitter.addWidget(part)
        splitter.setStretchFactor(place, int(place == 0))
    splitter.setCollapsible(0, False)
    return splitter
