"""The pictures of an annotated film, one after the other: frames of the film with their scene drawn on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PIL import Image

from analysis.film.reader import FrameReader
from analysis.report.film_drawing import draw_scene
from analysis.report.posture_lines import NOTHING, Drawn, Layer
from analysis.report.run_scene import scene_on
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.reading import Reading
from analysis.values.run import Run

LONGEST_PX = 1920
"""The longer side of a film that any phone plays; no film is enlarged."""

USUAL = Drawn(frozenset({Layer.TRUNK, Layer.SHINS, Layer.PATH}))
"""What of posture is drawn where nobody chose."""


def annotated_pictures(
    reader: FrameReader,
    run: Run,
    evidence: Evidence,
    reading: Reading,
    frames: Sequence[int],
    drawn: Drawn = NOTHING,
) -> Iterator[Image.Image]:
    """RGB pictures of frames with what is drawn on them; a frame that comes twice running is the same object.

    Raises FilmError where the film is damaged at one of them.
    """
    size = picture_size(reader.film)
    before, picture = None, None
    for frame in frames:
        if picture is None or frame != before:
            before, picture = frame, _picture(reader, frame, size)
            scale = size[0] / reader.film.shown_size[0]
            draw_scene(picture, scene_on(run, evidence, reading, frame, drawn), scale)
        yield picture


def picture_size(film: Film) -> tuple[int, int]:
    """Width and height of the film's pictures, made smaller where they are larger than phones play."""
    width, height = film.shown_size
    share = min(1.0, LONGEST_PX / max(width, height))
    return round(width * share), round(height * share)


def _picture(reader: FrameReader, frame: int, size: tuple[int, int]) -> Image.Image:
    whole = size == reader.film.shown_size
    pixels = reader.picture(frame) if whole else reader.small(frame, size[0])
    height, width = pixels.shape[:2]
    return Image.frombuffer("RGB", (width, height), pixels.tobytes(), "raw", "BGRX", 0, 1)
