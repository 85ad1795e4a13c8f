"""Runs as an annotated film or picture to hand over; written here or in a process beside."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from analysis.jobs.child import Excuses, Wish, serve
from analysis.jobs.export import Written, part_of, whole
from analysis.jobs.film_wish import FilmWish
from analysis.jobs.hiding import HiddenFaces, Stopped, hidden_faces, not_written, told_in_public
from analysis.jobs.writing_job import WritingJob, tell_notes
from analysis.store import ProjectFile
from analysis.values.audience import Faces
from analysis.values.errors import CinderlaneError
from analysis.values.progress import Say, share_of
from analysis.values.words import tr

if TYPE_CHECKING:
    from analysis.film.reader import FrameReader
    from analysis.jobs.film_runs import FilmPlan, FilmRun
    from analysis.report.canvas import Pixels
    from analysis.report.film_frames import Pane

_KEPT_BYTES = 64_000_000
"""The film is gone through once: hardly a frame is wanted again."""
_FOLLOWING_SHARE = 0.4
FILM, PICTURE = ".mp4", ".png"

Item = TypeVar("Item")


def annotate(
    project: Path,
    wanted: str | None,
    out: Path,
    wish: FilmWish,
    *,
    say: Say | None = None,
    stopped: Stopped | None = None,
    threads: int = 0,
) -> tuple[str, ...]:
    """Write a run of a project as an annotated film, MP4, or its first frame as PNG; sentences for the coach.

    ``wanted``: as for ``find_run``; ``say``: told the share that is done; ``stopped``: asked between frames,
    and when it says yes ReadingStopped is raised; ``threads``: 0 for as many as there are processors. ``out``
    is there whole or not at all. Raises CinderlaneError.
    """
    from analysis.film.reader import FrameReader
    from analysis.jobs.film_runs import film_plan
    from analysis.report.film_frames import FilmPictures

    with ProjectFile.open(project) as file:
        plan = film_plan(file, wanted, wish)
    picture = out.suffix.lower() == PICTURE
    if picture:
        plan = replace(plan, reel=replace(plan.reel, shots=plan.reel.shots[:1]))
    _refuse_to_overwrite(out, project, *(Path(run.film.path) for run in plan.runs))
    _refuse_other_endings(out)
    begun = 0.0 if wish.audience.faces is Faces.SHOWN else _FOLLOWING_SHARE * any(r.covers for r in plan.runs)
    hidden = list(_hidden(plan, wish, share_of(say, 0.0, begun), stopped))
    with ExitStack() as held:
        readers = [
            held.enter_context(FrameReader(run.film, _KEPT_BYTES, threads, stopped)) for run in plan.runs
        ]
        panes = [_pane(*each) for each in zip(plan.runs, readers, hidden, strict=True)]
        pictures = FilmPictures(panes, plan.reel, plan.look)
        told = _told(pictures, len(plan.reel.shots), share_of(say, begun, 1.0))
        part = held.enter_context(whole(out))
        _write(part, told, plan, threads, picture=picture)
    captions = {shot.stop.words for shot in plan.reel.shots if shot.stop is not None}
    words = (
        *not_written((*(run.title for run in plan.runs), *captions)),
        *told_in_public(wish.audience, captions=any(captions), spoken=plan.sound is not None),
    )
    notes = (note for run in plan.runs for note in run.notes)
    return (*notes, *(note for one in hidden for note in one.notes), *words)


def annotate_all(project: Path, folder: Path, wish: FilmWish, say: Say | None = None) -> Written:
    """Write every run of a project as an annotated film into a folder; see ``write_each``.

    Raises CinderlaneError where nothing can be written at all.
    """
    from analysis.jobs.each_run import write_each

    if wish.beside or wish.narration:
        raise CinderlaneError(tr("Name the run: a narration, or a run with another below it, is one film."))

    def write(run_id: str, out: Path, told: Say | None) -> tuple[str, ...]:
        return annotate(project, run_id, out, wish, say=told)

    return write_each(project, folder, ".mp4", wish.audience, write, say)


def _write(part: Path, pictures: Iterator[Pixels], plan: FilmPlan, threads: int, *, picture: bool) -> None:
    import numpy as np
    from PIL import Image

    from analysis.report.film_writing import write_film

    if picture:
        rgb = np.ascontiguousarray(next(pictures)[..., 2::-1])
        Image.fromarray(rgb).save(part, "PNG")
    else:
        write_film(part, pictures, plan.reel.rate_hz, threads, plan.sound)


def _pane(run: FilmRun, reader: FrameReader, hidden: HiddenFaces) -> Pane:
    from analysis.report.film_frames import Pane

    return Pane(reader, run.run, run.evidence, run.reading, run.title, hidden.places)


def _hidden(
    plan: FilmPlan, wish: FilmWish, say: Say | None, stopped: Stopped | None
) -> Iterator[HiddenFaces]:
    """Of each run where its faces are covered."""
    count, faces = len(plan.runs), wish.audience.faces
    for number, run in enumerate(plan.runs):
        told = share_of(say, number / count, (number + 1) / count)
        frames, camera = plan.reel.frames(number), run.evidence.camera
        yield hidden_faces(run.run, run.film, run.covers, frames, faces, camera, told, stopped)


def _refuse_other_endings(out: Path) -> None:
    if out.suffix.lower() not in (FILM, PICTURE):
        words = tr("{file} can't be written: end its name in .mp4 for a film, or in .png for a picture.")
        raise CinderlaneError(words.format(file=out.name))


def _refuse_to_overwrite(out: Path, *held: Path) -> None:
    if out.resolve() in {path.resolve() for path in held}:
        raise CinderlaneError(
            tr("{path} is what the annotated film is made from. Choose another name.").format(path=out)
        )


def _told(items: Iterable[Item], count: int, say: Say | None) -> Iterator[Item]:
    """The items, told of each how far it is."""
    for done, item in enumerate(items, start=1):
        yield item
        if say is not None:
            say(done / count)


class AnnotateJob(WritingJob):
    """Writes a film or picture beside whatever else goes on."""

    def __init__(self, project: Path, run_id: str, film: Path, out: Path, wish: FilmWish) -> None:
        excuses = Excuses(
            tr("The annotated film is still being written."),
            tr("Writing the annotated film was stopped."),
            tr("The annotated film could not be written: the work beside ended before its time. Try again."),
        )
        super().__init__(out, excuses)
        told = {"project": str(project), "run": run_id, "out": str(self._out), "how": wish.as_json()}
        self._start("analysis.jobs.annotate", film, None, 1, **told)

    def close(self) -> None:
        """Stop it where it runs, and leave nothing behind that isn't whole. May be called twice."""
        super().close()
        with suppress(OSError):  # a child that was stopped had no time to take it away
            part_of(self._out).unlink(missing_ok=True)


def _annotate(wish: Wish) -> None:
    """The child's work: write the film."""
    what = wish.what
    place = Path(what["project"]), what["run"], Path(what["out"]), FilmWish.of_json(what["how"])
    notes = annotate(*place, say=wish.say, stopped=wish.orphaned, threads=1)
    tell_notes(wish, notes)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _annotate))
