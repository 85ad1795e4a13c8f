"""Makes a face unrecognisable: coarse cells, blurred, in an ellipse. No anonymity: gait and kit stay."""

from __future__ import annotations

from PIL import Image, ImageDraw, ImageFilter

from analysis.values.face_cover import FacePlace

_CELLS = 4
"""So many cells stand across a covered face, whatever its size: eyes and mouth melt together (own)."""
_SOFT = 0.06
Box = tuple[int, int, int, int]


def hide_face(picture: Image.Image, face: FacePlace, scale: float, corner: tuple[float, float]) -> None:
    """Cover a face on an RGB picture in place. ``scale``, ``corner``: as for drawing on it."""
    u, v = (face.u - corner[0]) * scale, (face.v - corner[1]) * scale
    across, down = face.half_u * scale, face.half_v * scale
    soft = max(1.0, _SOFT * min(across, down))
    box = _within(picture, u, v, across + 2 * soft, down + 2 * soft)
    if box is None:
        return
    part = picture.crop(box)
    cells = (_cells(part.width, across), _cells(part.height, down))
    coarse = part.resize(cells, Image.Resampling.BOX).filter(ImageFilter.GaussianBlur(1.0))
    mask = Image.new("L", part.size)
    left, top, across, down = u - box[0], v - box[1], across + soft, down + soft
    ImageDraw.Draw(mask).ellipse((left - across, top - down, left + across, top + down), 255)
    picture.paste(coarse.resize(part.size, Image.Resampling.BICUBIC), box[:2], mask)


def _cells(length: int, half: float) -> int:
    return max(1, round(_CELLS * length / (2 * half)))


def _within(picture: Image.Image, u: float, v: float, across: float, down: float) -> Box | None:
    """The part of the picture round a place; None where it lies beyond the edge."""
    left, top = max(0, int(u - across)), max(0, int(v - down))
    right, bottom = min(picture.width, int(u + across) + 1), min(picture.height, int(v + down) + 1)
    return (left, top, right, bottom) if right > left and bottom > top else None
