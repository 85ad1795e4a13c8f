"""Some frames of a film as pictures, in a process of its own."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING
from zipfile import ZipFile

from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.values.errors import FilmError
from analysis.values.film import Film
from analysis.values.words import tr

if TYPE_CHECKING:
    from analysis.report.face_hiding import FacePlaces

_QUALITY = 95


class PicturesJob(ChildJob[dict[int, bytes]]):
    """Takes the shown pictures of a few frames, in full size, as JPEG by frame.

    ``coach_rate_hz``, ``every``: as the film was opened. A frame that can't be decoded is left out.
    """

    def __init__(
        self, film: Path, frames: Iterable[int], *, coach_rate_hz: float | None = None, every: int = 1
    ) -> None:
        excuses = Excuses(
            tr("The pictures are still being taken."),
            tr("Taking the pictures was stopped."),
            tr("The pictures could not be taken: the work beside ended before its time. Try again."),
        )
        super().__init__("pictures.zip", excuses)
        wanted = sorted(set(frames))
        self._start("analysis.jobs.pictures", film, coach_rate_hz, every, frames=wanted)

    def _read(self, found: Path) -> dict[int, bytes]:
        with ZipFile(found) as held:
            return {int(name): held.read(name) for name in held.namelist()}


def pictures(
    film: Film,
    frames: Iterable[int],
    stopped: Callable[[], bool] | None = None,
    faces: Sequence[FacePlaces] = (),
) -> Iterator[tuple[int, bytes]]:
    """The shown pictures of frames as JPEG, in turn; empty where one can't be decoded.

    ``faces``: covered on every one of them, so that whatever is cut out of it shows none.
    """
    import cv2

    from analysis.film.reader import FrameReader
    from analysis.report.canvas import Canvas
    from analysis.report.face_hiding import hide_faces

    with FrameReader(film, threads=1, stopped=stopped) as reader:
        for frame in frames:
            try:
                picture = reader.picture(frame)
            except FilmError:
                yield frame, b""
                continue
            shown = picture[..., :3].copy()
            hide_faces(Canvas(shown), faces, frame)
            _, jpeg = cv2.imencode(".jpg", shown, [cv2.IMWRITE_JPEG_QUALITY, _QUALITY])
            yield frame, jpeg.tobytes()


def _take(wish: Wish) -> None:
    """The child's work: decode each frame, write its picture."""
    frames = wish.what["frames"]
    with ZipFile(wish.found, "w") as held:
        for done, (frame, jpeg) in enumerate(pictures(wish.film(), frames, wish.orphaned), start=1):
            if jpeg:
                held.writestr(str(frame), jpeg)
            wish.say(done / len(frames))
        wish.say(1.0)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _take))
