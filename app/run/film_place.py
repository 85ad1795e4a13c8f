"""In the place of a film that is being read: its name, how far, and a way to give it up."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from analysis.values.words import tr
from app.share_bar import ShareBar
from app.theme.tokens import Space

_WIDEST = 420


class FilmPlace(QFrame):
    """Floats in the middle of the picture while a film is being read.

    Signals: cancelled(): wait for it no longer.
    """

    cancelled = Signal()

    def __init__(self, picture: QWidget) -> None:
        super().__init__(picture)
        self.setObjectName("film_place")
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self._name = ""
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.bar = ShareBar(self)
        self.bar.setAccessibleName(tr("How much of the film was read"))
        self.stop = QPushButton(tr("Cancel"), self)
        self.stop.clicked.connect(self.cancelled)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.SECTION, Space.WIDE, Space.SECTION, Space.WIDE)
        column.setSpacing(Space.BASE)
        column.addWidget(self.words)
        row = QHBoxLayout()
        row.setSpacing(Space.WIDE)
        row.addWidget(self.bar, 1, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.stop)
        column.addLayout(row)
        picture.installEventFilter(self)
        self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in the middle."""
        if event.type() is QEvent.Type.Resize:
            self._place()
        return super().eventFilter(watched, event)

    def show_film(self, name: str) -> None:
        """A film of this name is being read; none where it is empty."""
        if name == self._name:
            return
        self._name = name
        self.words.setText(tr("Opening {film}…").format(film=name))
        self.setAccessibleName(self.words.text())
        self.bar.setValue(0)
        self._place()
        self.setVisible(bool(name))

    @Slot(float)
    def show_share(self, share: float) -> None:
        """So much of it was read, 0 to 1."""
        self.bar.show_share(share)

    def _place(self) -> None:
        picture = self.parentWidget()
        if picture is not None:
            width = min(_WIDEST, picture.width() - 2 * Space.PAGE)
            height = self.sizeHint().height()
            self.setGeometry((picture.width() - width) // 2, (picture.height() - height) // 2, width, height)
            self.raise_()
