"""The pictures of an annotated film, one after the other: frames of the film with their scene drawn on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from PIL import Image

from analysis.film.reader import FrameReader
from analysis.report.body import whole_scene
from analysis.report.film_drawing import draw_scene
from analysis.report.marks import on_frame, seen_on_frame
from analysis.report.posture_lines import NOTHING, Drawn, Layer, with_posture
from analysis.report.scene import Scene
from analysis.values.evidence import Evidence
from analysis.values.film import Film
from analysis.values.reading import Reading

LONGEST_PX = 1920
"""The longer side of a film that any phone plays; no film is enlarged."""

USUAL = Drawn(frozenset({Layer.TRUNK, Layer.SHINS, Layer.PATH}))
"""What of posture is drawn where nobody chose."""


def drawn_on(evidence: Evidence, reading: Reading, frame: int, drawn: Drawn = NOTHING) -> Scene:
    """What is drawn on a frame of the film of a run; ``drawn``: what of posture, beside points and lines."""
    run, tracks = evidence.run, evidence.tracks
    view = evidence.camera, evidence.lens, (evidence.film.width, evidence.film.height), frame
    near, run = run.direction.near_side, on_frame(run, *view)
    plain = whole_scene(run, reading, frame, near, tracks)
    return with_posture(plain, run, reading, frame, near, tracks, drawn, partial(seen_on_frame, *view))


def annotated_pictures(
    reader: FrameReader, evidence: Evidence, reading: Reading, frames: Sequence[int], drawn: Drawn = NOTHING
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
            draw_scene(picture, drawn_on(evidence, reading, frame, drawn), scale)
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
