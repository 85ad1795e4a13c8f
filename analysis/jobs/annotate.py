"""A run's film with lines, points and numbers on it, as a film to hand over; here or in a process beside."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import asdict, replace
from pathlib import Path
from typing import TypeVar

from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.jobs.evidence import known_run
from analysis.jobs.export import part_of, whole
from analysis.jobs.runs import find_run
from analysis.report.film_order import Pace, ordered
from analysis.report.posture_lines import NOTHING, Drawn
from analysis.store import ProjectFile
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr

_KEPT_BYTES = 64_000_000
"""The film is gone through once: hardly a frame is wanted again."""

Item = TypeVar("Item")


def annotate(
    project: Path,
    wanted: str | None,
    out: Path,
    pace: Pace,
    *,
    drawn: Drawn = NOTHING,
    say: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
    threads: int = 0,
) -> tuple[str, ...]:
    """Write a run of a project as an annotated film, MP4; sentences for the coach.

    ``wanted``: as for ``find_run``; ``drawn``: what of posture; ``say``: told the share that is done;
    ``stopped``: asked between frames, and when it says yes ReadingStopped is raised; ``threads``: 0 for as
    many as there are processors. ``out`` is there whole or not at all. Raises CinderlaneError.
    """
    from analysis.film.reader import FrameReader
    from analysis.reading import read
    from analysis.report.film_frames import annotated_pictures
    from analysis.report.film_writing import write_film

    with ProjectFile.open(project) as file:
        told = find_run(file.project, wanted)
        known = known_run(file, told)
    film = known.film.opened()
    _refuse_to_overwrite(out, project, Path(film.path))
    evidence, run = replace(known.evidence, lines_between=drawn.between), known.evidence.run
    stops = [f.touchdown for f in run.footfalls if f.touchdown is not None]
    order = ordered(evidence.film.times, int(run.first_frame), int(run.last_frame), stops, pace)
    with FrameReader(film, _KEPT_BYTES, threads, stopped) as reader, whole(out) as part:
        pictures = annotated_pictures(reader, told, evidence, read(evidence), order.frames, drawn)
        write_film(part, _told(pictures, len(order.frames), say), order.rate_hz, threads)
    return known.film.notes


def _refuse_to_overwrite(out: Path, *held: Path) -> None:
    if out.resolve() in {path.resolve() for path in held}:
        raise CinderlaneError(
            tr("{path} is what the annotated film is made from. Choose another name.").format(path=out)
        )


def _told(items: Iterable[Item], count: int, say: Callable[[float], None] | None) -> Iterator[Item]:
    """The items, told of each how far it is."""
    for done, item in enumerate(items, start=1):
        yield item
        if say is not None:
            say(done / count)


class AnnotateJob(ChildJob[Path]):
    """Writes a run as an annotated film beside whatever else goes on; what comes of it is where it lies."""

    def __init__(self, project: Path, run_id: str, film: Path, out: Path, pace: Pace, drawn: Drawn) -> None:
        excuses = Excuses(
            tr("The annotated film is still being written."),
            tr("Writing the annotated film was stopped."),
            tr("The annotated film could not be written: the work beside ended before its time. Try again."),
        )
        super().__init__(out.name, excuses)
        self._found = self._out = out.absolute()
        self._start(
            "analysis.jobs.annotate",
            film,
            None,
            1,
            project=str(project),
            run=run_id,
            pace=asdict(pace),
            layers=sorted(drawn.layers),
            between=drawn.between,
            everywhere=drawn.everywhere,
            frames=sorted(drawn.frames),
        )

    def close(self) -> None:
        """Stop it where it runs, and leave nothing behind that isn't whole. May be called twice."""
        super().close()
        with suppress(OSError):  # a child that was stopped had no time to take it away
            part_of(self._out).unlink(missing_ok=True)

    def _read(self, found: Path) -> Path:
        return found


def _annotate(wish: Wish) -> None:
    """The child's work: write the film."""
    from analysis.report.posture_lines import Layer

    what = wish.what
    drawn = Drawn(
        frozenset(map(Layer, what["layers"])),
        tuple((lower, upper) for lower, upper in what["between"]),
        what["everywhere"],
        frozenset(what["frames"]),
    )
    place = Path(what["project"]), what["run"], wish.found, Pace(**what["pace"])
    annotate(*place, drawn=drawn, say=wish.say, stopped=wish.orphaned, threads=1)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _annotate))
