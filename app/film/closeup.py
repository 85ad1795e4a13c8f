"""The close-up: the picture around the pointer, several times larger, while something is being placed."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from app.film.mapping import ViewMapping
from app.theme.tokens import Theme

SIDE = 190.0
ENLARGED = 5.0
MARGIN = 10.0


def closeup_rect(width: float, height: float, x: float) -> QRectF:
    """Where the close-up lies in a view of that size: in the upper corner away from the pointer."""
    side = min(SIDE, width / 3, height / 2)
    left = width - side - MARGIN if x < width / 2 else MARGIN
    return QRectF(left, MARGIN, side, side)


def paint_closeup(
    painter: QPainter,
    image: QImage,
    film_size: tuple[int, int],
    mapping: ViewMapping,
    rect: QRectF,
    pointer: tuple[float, float],
    theme: Theme,
) -> None:
    """Paint the surroundings of ``pointer`` (widget points) into ``rect`` with a cross hair.

    ``film_size``: width and height of the film's pictures, which ``mapping`` is for; ``image`` may be
    smaller.
    """
    u, v = mapping.to_picture(*pointer)
    scale = max(ENLARGED * mapping.scale, 4.0)
    half = rect.width() / 2 / scale
    across, down = image.width() / film_size[0], image.height() / film_size[1]
    source = QRectF((u + 0.5 - half) * across, (v + 0.5 - half) * down, 2 * half * across, 2 * half * down)
    painter.save()
    painter.setClipRect(rect)
    painter.fillRect(rect, QColor(theme.backdrop))
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, scale < 8)
    if mapping.mirrored:
        painter.save()
        painter.translate(2 * rect.center().x(), 0)
        painter.scale(-1, 1)
        painter.drawImage(rect, image, source)
        painter.restore()
    else:
        painter.drawImage(rect, image, source)
    centre = rect.center()
    for tone, thick in ((QColor(0, 0, 0, 160), 3.0), (QColor(255, 255, 255), 1.0)):
        painter.setPen(QPen(tone, thick))
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            painter.drawLine(centre + QPointF(4 * dx, 4 * dy), centre + QPointF(34 * dx, 34 * dy))
    painter.setPen(QPen(QColor(255, 255, 255), 1.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(centre, 2.0, 2.0)
    painter.setClipping(False)
    painter.setPen(QPen(QColor(theme.halo_dark), 3))
    painter.drawRect(rect)
    painter.setPen(QPen(QColor(theme.halo_light), 1))
    painter.drawRect(rect)
    painter.restore()
