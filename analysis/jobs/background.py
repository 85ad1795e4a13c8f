"""Following the background of a film in a process of its own, beside whatever else goes on."""

from __future__ import annotations

import sys
from pathlib import Path

from analysis.jobs.child import ChildJob, Excuses, Wish, lens_wish, serve
from analysis.values.camera import CameraPath, Lens
from analysis.values.words import tr


class BackgroundJob(ChildJob[CameraPath]):
    """Follows one film's background.

    ``first``, ``last``: the frames wanted, to the film's end where ``last`` is None. ``lens``: the film's,
    where it is known. ``coach_rate_hz`` and ``every``: as the film was opened.
    """

    def __init__(
        self,
        film: Path,
        first: int = 0,
        last: int | None = None,
        *,
        lens: Lens | None = None,
        coach_rate_hz: float | None = None,
        every: int = 1,
    ) -> None:
        excuses = Excuses(
            tr("The background is still being followed."),
            tr("Following the background was stopped."),
            tr("The background could not be followed: the work beside ended before its time. Try again."),
        )
        super().__init__("path.npz", excuses)
        wish = {"first": first, "last": last, "lens": lens_wish(lens)}
        self._start("analysis.jobs.background", film, coach_rate_hz, every, **wish)

    def _read(self, found: Path) -> CameraPath:
        from analysis.background.saving import load_path

        return load_path(found)


def _follow(wish: Wish) -> None:
    """The child's work: follow, and write the path."""
    from analysis.background import follow_background
    from analysis.background.saving import save_path

    film, last, lens = wish.film(), wish.what["last"], wish.lens()
    end = film.frames - 1 if last is None else last
    first = wish.what["first"]
    path = follow_background(film, first, end, lens=lens, progress=wish.say, stopped=wish.orphaned)
    save_path(path, wish.found)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _follow))
