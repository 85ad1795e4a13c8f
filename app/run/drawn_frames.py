"""Frames of a posture strip as drawn last: one is drawn anew only where it would look otherwise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtGui import QImage

from analysis.report.ink import Ink
from analysis.report.posture_strip import StripFrame
from analysis.report.strip_drawing import frame_picture
from app.run.strip_tile import StripTile
from app.theme.apply import current_theme


class DrawnFrames:
    """The drawings of one film's frames."""

    def __init__(self) -> None:
        self._drawn: dict[int, tuple[object, QImage]] = {}

    def image(self, frame: int) -> QImage | None:
        """What was drawn of a frame last."""
        known = self._drawn.get(frame)
        return None if known is None else known[1]

    def draw_next(
        self,
        tiles: Sequence[StripTile],
        frames: Sequence[StripFrame],
        kept: Mapping[int, bytes],
        height: int,
        *,
        mirrored: bool = False,
    ) -> bool:
        """Draw the first frame that is not drawn as it now is, ``height`` points high; False where
        all are. ``kept``: pictures of the film, as JPEG by frame. ``mirrored``: drawn left for right.
        """
        theme = current_theme()
        ink = Ink(theme.left.fill, theme.right.fill, beyond=theme.backdrop)
        for tile, one in zip(tiles, frames, strict=True):
            jpeg = kept.get(int(one.frame))
            high = round(height * tile.devicePixelRatioF())
            key = (one, high, ink, mirrored)
            known = self._drawn.get(int(one.frame))
            if jpeg and (known is None or known[0] != key):
                image = _image(jpeg, one, high, ink, mirrored=mirrored)
                self._drawn[int(one.frame)] = (key, image)
                tile.show_image(image)
                return True
        return False


def _image(jpeg: bytes, shown: StripFrame, height: int, ink: Ink, *, mirrored: bool) -> QImage:
    picture = frame_picture(jpeg, shown, height, ink, mirrored=mirrored)
    held = picture.tobytes()
    return QImage(held, picture.width, picture.height, 3 * picture.width, QImage.Format.Format_RGB888).copy()
