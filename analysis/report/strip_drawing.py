"""Draws the posture strip: frames cut out of the film's pictures at one scale, with their lines and words."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from analysis.report.canvas import Canvas
from analysis.report.film_drawing import draw_lines
from analysis.report.ink import Ink
from analysis.report.lettering import Font, write
from analysis.report.posture_strip import Box, PostureStrip, StripFrame, angle_words, moment_words
from analysis.report.scene import Scene
from analysis.report.strip_pair import StripPair
from analysis.values.words import tr

HEIGHT_PX = 520
"""Height of a frame in a strip that leaves the program (own)."""
_UNIT_AT_PX = 360
"""Height of a frame on which a unit of thickness is a pixel: the body fills it (own)."""
_GAP, _BORDER, _TEXT = 10, 24, 20
_BAR_M = 0.5
_PACKING = 1  # quick: a tenth larger, a third of the time


class Framing(Protocol):
    """A part of a picture with what lies over it."""

    @property
    def box(self) -> Box:
        """The part."""

    @property
    def scene(self) -> Scene:
        """What lies over it."""


def frame_picture(
    jpeg: bytes, shown: Framing, height: int, ink: Ink, *, mirrored: bool = False
) -> Image.Image:
    """One frame, ``height`` px high: its part of the film's picture with the lines on it; ``mirrored``: left
    for right, picture and lines.
    """
    scale = height / shown.box.height
    size = (max(1, round(shown.box.width * scale)), height)
    tile = _cut(_decoded(jpeg, scale), shown.box, size, ink.beyond)
    corner = (shown.box.u, shown.box.v)
    canvas = Canvas(np.array(tile))
    draw_lines(canvas, shown.scene, scale, corner, ink, max(1.0, height / _UNIT_AT_PX))
    picture = Image.fromarray(canvas.pixels)
    return picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT) if mirrored else picture


def strip_picture(
    strip: PostureStrip, jpegs: Mapping[int, bytes], title: str, ink: Ink | None = None
) -> bytes:
    """The whole strip as PNG, to hand over: a title, the frames with their words, what a length is.

    ``jpegs``: the film's pictures by frame; one that is empty leaves a gap. Raises ValueError where the strip
    is empty.
    """
    if not strip.frames:
        raise ValueError(strip.reason)
    return _page([_row(title, strip.frames, jpegs)], strip.height_m, ink or Ink())


def pair_picture(
    pair: StripPair,
    jpegs: tuple[Mapping[int, bytes], Mapping[int, bytes]],
    titles: tuple[str, str],
    ink: Ink | None = None,
) -> bytes:
    """Both strips as one PNG, one above the other, an event that one of them lacks as a gap.

    ``jpegs``: of the upper and the lower film, by frame. Raises ValueError where both strips are empty.
    """
    if not pair.columns:
        raise ValueError(pair.upper.reason or pair.lower.reason)
    rows = []
    strips = zip(*((c.upper, c.lower) for c in pair.columns), strict=True)
    turned = (False, pair.mirrored)
    for title, kept, frames, mirrored in zip(titles, jpegs, strips, turned, strict=True):
        name = tr("{title}, mirrored").format(title=title) if mirrored else title
        rows.append(_row(name, frames, kept, mirrored=mirrored))
    return _page(rows, pair.upper.height_m if pair.one_scale else None, ink or Ink())


@dataclass(frozen=True)
class _Row:
    """A strip under its title; None leaves a gap. ``mirrored``: its frames are."""

    title: str
    frames: list[tuple[StripFrame, bytes] | None]
    mirrored: bool = False


def _row(
    title: str, frames: Sequence[StripFrame | None], kept: Mapping[int, bytes], *, mirrored: bool = False
) -> _Row:
    """``kept``: the film's pictures by frame."""
    shown = [(one, kept[one.frame]) if one is not None and kept[one.frame] else None for one in frames]
    return _Row(title, shown, mirrored)


def _page(rows: list[_Row], height_m: float | None, ink: Ink) -> bytes:
    """Strips one above the other, a frame of each over the same one of the next, and what a length is."""
    font, small = ImageFont.load_default(_TEXT), ImageFont.load_default(_TEXT - 3)
    line = round(_TEXT * 1.4)
    drawn = [[_tile(each, ink, row.mirrored) for each in row.frames] for row in rows]
    wide = [[0 if tile is None else tile.width for tile in tiles] for tiles in zip(*drawn, strict=True)]
    columns = [max(widths) for widths in wide]
    across = sum(columns) + _GAP * (len(columns) - 1)
    tall = 2 * line + HEIGHT_PX + 4 * line
    page = Image.new("RGB", (across + 2 * _BORDER, _BORDER + len(rows) * tall + line + _BORDER), "#FFFFFF")
    draw = ImageDraw.Draw(page)
    for number, (row, tiles) in enumerate(zip(rows, drawn, strict=True)):
        top = _BORDER + number * tall
        write(draw, (_BORDER, top), row.title, _TEXT, "#18222C", "la")
        x = _BORDER
        for each, tile, width in zip(row.frames, tiles, columns, strict=True):
            if each is not None and tile is not None:
                page.paste(tile, (x, top + 2 * line))
                words = [moment_words(each[0].moment, each[0].side), *map(angle_words, each[0].angles)]
                for n, text in enumerate(words):
                    place = x, top + 2 * line + HEIGHT_PX + 8 + n * line
                    draw.text(place, text, "#18222C", small if n else font)
            x += width + _GAP
    _scale(draw, height_m, (_BORDER, _BORDER + len(rows) * tall), small)
    out = io.BytesIO()
    page.save(out, "PNG", compress_level=_PACKING)
    return out.getvalue()


def _tile(each: tuple[StripFrame, bytes] | None, ink: Ink, mirrored: bool) -> Image.Image | None:
    return None if each is None else frame_picture(each[1], each[0], HEIGHT_PX, ink, mirrored=mirrored)


def _scale(draw: ImageDraw.ImageDraw, height_m: float | None, place: tuple[int, int], font: Font) -> None:
    """A bar of half a metre, where there is a scale."""
    x, y = place
    if height_m is None:
        draw.text((x, y), tr("No scale: without marks the frames show equally many pixels."), "#505D6A", font)
        return
    length = round(_BAR_M * HEIGHT_PX / height_m)
    draw.line([(x, y + 10), (x + length - 1, y + 10)], "#18222C", 3)
    for end in (x + 1, x + length - 1):
        draw.line([(end, y + 4), (end, y + 16)], "#18222C", 3)
    words = tr("0.5 m, in every frame alike. Angles from the forward horizontal, ± the 95 % interval.")
    draw.text((x + length + 14, y), words, "#505D6A", font)


@dataclass(frozen=True)
class _Decoded:
    """A film's picture, ``share`` of its full size."""

    image: Image.Image
    share: float


def _decoded(jpeg: bytes, scale: float) -> _Decoded:
    """A picture that will be shown ``scale`` times its size; decoded no larger than that asks."""
    image = Image.open(io.BytesIO(jpeg))
    full = image.width
    if scale < 1:
        image.draft("RGB", (round(image.width * scale), round(image.height * scale)))
    return _Decoded(image, image.width / full)


def _cut(picture: _Decoded, box: Box, size: tuple[int, int], beyond: str) -> Image.Image:
    """The part of a picture that lies in the box; pixels have their centres at whole numbers."""
    tile = Image.new("RGB", size, beyond)
    share, image = picture.share, picture.image
    left, upper = (box.u + 0.5) * share, (box.v + 0.5) * share
    u0, v0 = max(0.0, left), max(0.0, upper)
    u1 = min(float(image.width), left + box.width * share)
    v1 = min(float(image.height), upper + box.height * share)
    if u1 - u0 < 1 or v1 - v0 < 1:
        return tile
    scale = size[1] / (box.height * share)
    inner = (max(1, round((u1 - u0) * scale)), max(1, round((v1 - v0) * scale)))
    part = image.resize(inner, Image.Resampling.BICUBIC, (u0, v0, u1, v1))
    tile.paste(part, (round((u0 - left) * scale), round((v0 - upper) * scale)))
    return tile
