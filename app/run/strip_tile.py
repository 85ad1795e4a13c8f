"""One frame of the posture strip: its picture over its words; a click goes to the frame."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from app.theme.apply import current_theme, sized
from app.theme.tokens import FOCUS_PX, Space, Type

_CURRENT_PX = 3


class StripTile(QAbstractButton):
    """``frame``: where a click goes. Taller than wide; without a picture yet it is an empty place."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.frame = -1
        self._image: QImage | None = None
        self._words: tuple[str, ...] = ()
        self._picture = QSize(80, 110)
        self._here = False
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # after a click Space still plays the film
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    @staticmethod
    def words_height(widget: QWidget, lines: int) -> int:
        """How much so many lines of words take under a picture, in points."""
        return Space.TIGHT + lines * _caption(widget).lineSpacing()

    def show_words(self, frame: int, words: tuple[str, ...], picture: QSize, lines: int) -> None:
        """Stand for a frame: all words are spoken, ``lines`` of them shown; ``picture``: size in points."""
        self.frame, self._picture, self._words = frame, picture, words[:lines]
        said = ", ".join(words)
        self.setAccessibleName(said)
        self.setToolTip("\n".join(words))
        across = max(_caption(self).horizontalAdvance(text) for text in words[: max(1, lines)])
        width = max(picture.width(), across) + 2 * Space.HAIR
        self.setFixedSize(width, picture.height() + self.words_height(self, lines) + Space.HAIR)
        self.update()

    def show_image(self, image: QImage | None) -> None:
        """The picture with its lines; None while it is not there."""
        self._image = image
        self.update()

    @property
    def picture(self) -> QImage | None:
        """What is shown."""
        return self._image

    @property
    def here(self) -> bool:
        """Whether the film shows this frame."""
        return self._here

    def set_here(self, here: bool) -> None:
        """Whether the film shows this frame."""
        if here != self._here:
            self._here = here
            self.update()

    def sizeHint(self) -> QSize:
        return self.size()

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = current_theme()
        painter = QPainter(self)
        box = QRect(
            (self.width() - self._picture.width()) // 2,
            Space.HAIR,
            self._picture.width(),
            self._picture.height(),
        )
        if self._image is None:
            painter.fillRect(box, QColor(theme.sunken))
        else:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(box, self._image)
        if self._here:
            painter.setPen(QPen(QColor(theme.accent), _CURRENT_PX))
            painter.drawRect(box.adjusted(1, 1, -2, -2))
        painter.setFont(_font(self))
        line = painter.fontMetrics().lineSpacing()
        for n, text in enumerate(self._words):
            painter.setPen(QColor(theme.text if n == 0 else theme.muted))
            below = QRect(0, box.bottom() + Space.TIGHT + n * line, self.width(), line)
            painter.drawText(below, Qt.AlignmentFlag.AlignHCenter, text)
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.focus), FOCUS_PX))
            painter.drawRect(self.rect().adjusted(1, 1, -2, -2))
        painter.end()


def _font(widget: QWidget) -> QFont:
    return sized(widget.font(), Type.CAPTION)


def _caption(widget: QWidget) -> QFontMetrics:
    return QFontMetrics(_font(widget))
