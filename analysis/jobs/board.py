"""The lens from a film or from pictures of a chequerboard, in a process of its own."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import cv2
import numpy as np
import numpy.typing as npt

from analysis.jobs.chequerboard import BoardFit, lens_from_chequerboard
from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.values.camera import Lens
from analysis.values.errors import MarkError
from analysis.values.film import Film
from analysis.values.words import tr

PICTURE_ENDINGS = (".png", ".jpg", ".jpeg", ".tif", ".tiff", ".bmp")
LOOKED_AT = 24
"""So many pictures of a film are looked at, spread over it (own)."""

Grey = npt.NDArray[np.uint8]


@dataclass(frozen=True)
class BoardLens:
    """``fit``: as measured; ``size``: width and height of the pictures that it was measured on, px; ``of``:
    how many were looked at.
    """

    fit: BoardFit
    size: tuple[int, int]
    of: int


class BoardJob(ChildJob[BoardLens]):
    """Measures the lens on one film, or on several pictures. ``columns``, ``rows``: of inner corners."""

    def __init__(self, files: Sequence[Path], columns: int, rows: int) -> None:
        excuses = Excuses(
            tr("The board is still being looked for."),
            tr("Looking for the board was stopped."),
            tr("The board could not be looked for: the work beside ended before its time. Try again."),
        )
        super().__init__("lens.json", excuses)
        names = [str(file) for file in files]
        self._start("analysis.jobs.board", files[0], None, 1, files=names, columns=columns, rows=rows)

    def _read(self, found: Path) -> BoardLens:
        held = json.loads(found.read_text(encoding="utf-8"))
        lens = Lens(**(held["fit"]["lens"] | {"centre": tuple(held["fit"]["lens"]["centre"])}))
        fit = BoardFit(lens, tuple(held["fit"]["found"]), held["fit"]["left_px"])
        return BoardLens(fit, tuple(held["size"]), held["of"])


def is_picture(path: Path) -> bool:
    """Whether a file is a single picture, by its name."""
    return path.suffix.lower() in PICTURE_ENDINGS


def read_pictures(files: Sequence[Path]) -> list[Grey]:
    """Grey pictures of files. Raises MarkError where one can't be read."""
    pictures = []
    for file in files:
        try:  # not by name: OpenCV can't read names of every alphabet
            picture = cv2.imdecode(np.fromfile(file, np.uint8), cv2.IMREAD_GRAYSCALE)
        except (OSError, cv2.error):
            picture = None
        if picture is None:
            raise MarkError(tr("{name} can't be read as a picture.").format(name=file.name))
        pictures.append(np.asarray(picture, np.uint8))
    return pictures


def film_pictures(film: Film, progress: Callable[[float], None], stopped: Callable[[], bool]) -> list[Grey]:
    """Grey pictures spread over a film. Raises FilmError."""
    from analysis.film.reader import FrameReader

    frames = np.unique(np.linspace(0, film.frames - 1, LOOKED_AT).round().astype(int))
    reader = FrameReader(film, threads=1, stopped=stopped)
    try:
        pictures = []
        for done, number in enumerate(frames, 1):
            pictures.append(
                np.asarray(cv2.cvtColor(reader.picture(int(number)), cv2.COLOR_BGRA2GRAY), np.uint8)
            )
            progress(0.5 * done / len(frames))
        return pictures
    finally:
        reader.close()


def _measure(wish: Wish) -> None:
    """The child's work: look for the board, and write the lens."""
    files = [Path(name) for name in wish.what["files"]]
    if len(files) > 1 or is_picture(files[0]):
        pictures = read_pictures(files)
    else:
        pictures = film_pictures(wish.film(), wish.say, wish.orphaned)
    wish.say(0.5)
    fit = lens_from_chequerboard(pictures, wish.what["columns"], wish.what["rows"])
    height, width = pictures[0].shape
    wish.found.write_text(
        json.dumps(asdict(BoardLens(fit, (width, height), len(pictures)))), encoding="utf-8"
    )
    wish.say(1.0)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _measure))
