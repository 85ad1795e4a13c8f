"""Whether a film was taken from the place of another one, in a process of its own."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.background.tie import Place, TiedPlace
from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.values.words import tr


@dataclass(frozen=True)
class FilmPicture:
    """One frame of a film, opened with ``coach_rate_hz`` and ``every``."""

    film: Path
    frame: int
    coach_rate_hz: float | None = None
    every: int = 1


class TyingJob(ChildJob[TiedPlace]):
    """Ties the background of ``mine`` to that of ``other``: the map leads from mine to the other's pixels."""

    def __init__(self, mine: FilmPicture, other: FilmPicture) -> None:
        excuses = Excuses(
            tr("The backgrounds are still being compared."),
            tr("Comparing the backgrounds was stopped."),
            tr("The backgrounds could not be compared: the work beside ended before its time. Try again."),
        )
        super().__init__("tie.json", excuses)
        self._start(
            "analysis.jobs.tying",
            mine.film,
            mine.coach_rate_hz,
            mine.every,
            frame=mine.frame,
            other=str(other.film),
            other_rate=other.coach_rate_hz,
            other_every=other.every,
            other_frame=other.frame,
        )

    def _read(self, found: Path) -> TiedPlace:
        held = json.loads(found.read_text(encoding="utf-8"))
        error = float("inf") if held["error_px"] is None else held["error_px"]
        return TiedPlace(Place(held["verdict"]), np.array(held["map"]), error, held["moved_px"])


def _tie(wish: Wish) -> None:
    """The child's work: read both pictures, compare, write the tie."""
    from analysis.background import tie_backgrounds
    from analysis.film import open_film
    from analysis.film.reader import FrameReader

    what = wish.what
    other = open_film(what["other"], what["other_rate"], what["other_every"])
    pictures = []
    for film, frame in ((wish.film(), what["frame"]), (other, what["other_frame"])):
        reader = FrameReader(film, threads=1, stopped=wish.orphaned)
        try:
            pictures.append(reader.picture(min(frame, film.frames - 1)))
        finally:
            reader.close()
        wish.say(0.3 * len(pictures))
    tied = tie_backgrounds(pictures[1], pictures[0])
    known = np.isfinite(tied.error_px)
    found = {
        "verdict": tied.verdict.value,
        "map": tied.map.tolist(),
        "error_px": tied.error_px if known else None,
        "moved_px": tied.moved_px,
    }
    wish.found.write_text(json.dumps(found), encoding="utf-8")
    wish.say(1.0)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _tie))
