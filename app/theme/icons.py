"""Icons in the theme's colours, sharp at every scale of the screen."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap

from app.theme.glyphs import GLYPHS
from app.theme.tokens import Theme

# 16, 20, 24 and 32 at 1x, 1.5x and 2x: a pixmap of the very size asked for is never resampled
_SIZES = (16, 20, 24, 30, 32, 36, 40, 48, 64)


@lru_cache(maxsize=1024)
def icon(name: str, theme: Theme, colour: str | None = None) -> QIcon:
    """The icon ``name`` of ``GLYPHS``, in ``colour`` instead of the text colour if given; drawn once.

    Raises KeyError for a name that has no glyph.
    """
    glyph = GLYPHS[name]()
    plain = colour or theme.text
    states = (
        (QIcon.Mode.Normal, QIcon.State.Off, plain),
        (QIcon.Mode.Normal, QIcon.State.On, colour or theme.accent),
        (QIcon.Mode.Disabled, QIcon.State.Off, theme.faint),
    )
    out = QIcon()
    for mode, state, tint in states:
        for size in _SIZES:
            pixmap = QPixmap(size, size)
            pixmap.fill(Qt.GlobalColor.transparent)
            painter = QPainter(pixmap)
            glyph.paint(painter, QRectF(0, 0, size, size), QColor(tint))
            painter.end()
            out.addPixmap(pixmap, mode, state)
    return out
