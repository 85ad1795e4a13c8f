"""Text on dark plates in pictures that leave the program."""

from __future__ import annotations

from PIL import Image, ImageDraw

from analysis.report.lettering import Font, font_for, font_of, one_line

_TEXT_SHARE = 1 / 34
_LEAST_TEXT_PX = 11
_PLATE = (0, 0, 0, 170)


class Plates:
    """Plates for a picture of that height. ``bar``: width of the line in a side's colour, px."""

    def __init__(self, picture_height: int, bar: float) -> None:
        self._px = max(_LEAST_TEXT_PX, round(picture_height * _TEXT_SHARE))
        self.line = float(font_of(self._px).getbbox("Ag")[3])
        self._pad = 0.25 * self.line
        self._bar = bar

    def size(self, text: str) -> tuple[float, float]:
        """Width and height of the plate that holds a text."""
        return self._font(text).getlength(one_line(text)) + 2 * self._pad, self.line + self._pad

    def _font(self, text: str) -> Font:
        return font_for(one_line(text), self._px)

    def lay(
        self, picture: Image.Image, text: str, place: tuple[float, float], side_colour: str | None = None
    ) -> None:
        """A text, its plate's corner at a place; the side that it belongs to stands on the plate's edge."""
        width, height = self.size(text)
        plate = Image.new("RGBA", (max(1, round(width)), max(1, round(height))), _PLATE)
        draw = ImageDraw.Draw(plate)
        if side_colour is not None:
            draw.rectangle((0, 0, max(1.0, self._bar), plate.height), side_colour)
        draw.text((self._pad, plate.height / 2), one_line(text), "#FFFFFF", self._font(text), anchor="lm")
        picture.paste(plate, (round(place[0]), round(place[1])), plate)
