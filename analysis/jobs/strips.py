"""The posture strip of one run, or of two one above the other, as a picture; written here or beside."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from analysis.jobs.child import Excuses, Wish, serve
from analysis.jobs.each_run import write_each
from analysis.jobs.evidence import KnownRun, known_run
from analysis.jobs.export import Written, write_whole
from analysis.jobs.hiding import Stopped, check_shown, hidden_faces, not_written, titles
from analysis.jobs.pictures import pictures
from analysis.jobs.runs import find_run
from analysis.jobs.writing_job import WritingJob, tell_notes
from analysis.reading import read
from analysis.report.posture_strip import PostureStrip, posture_strip
from analysis.store import ProjectFile
from analysis.values.audience import Audience
from analysis.values.errors import CinderlaneError
from analysis.values.face_cover import FaceCover
from analysis.values.progress import Say, share_of
from analysis.values.words import one_line, tr

_FOLLOWING_SHARE = 0.8


def write_strips(
    project: Path,
    run_ids: Sequence[str],
    out: Path,
    audience: Audience,
    say: Say | None = None,
    stopped: Stopped | None = None,
) -> tuple[str, ...]:
    """Write the strip of a run, or those of two, as PNG; gives sentences for the coach.

    ``say``: told the share that is done; ``stopped``: asked now and then, and when it says yes ReadingStopped
    is raised. Raises CinderlaneError where nothing can be shown or written.
    """
    from analysis.report.strip_drawing import pair_picture, strip_picture
    from analysis.report.strip_pair import strip_pair

    with ProjectFile.open(project) as file:
        runs = [file.project.runs[run_id] for run_id in run_ids]
        check_shown(file.project, runs, audience)
        known = [known_run(file, run) for run in runs]
        over = titles(file.project, runs, audience)
        covers = [file.project.covers_of(run.film_id) for run in runs]
    read_ones = [(one.evidence, read(one.evidence)) for one in known]
    kept: list[dict[int, bytes]] = []
    notes: list[str] = []

    def take(number: int, strip: PostureStrip) -> None:
        told = share_of(say, number / len(runs), (number + 1) / len(runs))
        found, said = _pictures(known[number], strip, covers[number], audience, told, stopped)
        kept.append(found)
        notes.extend(said)

    if len(runs) == 1:
        strip = posture_strip(*read_ones[0])
        if not strip.frames:
            raise CinderlaneError(strip.reason)
        take(0, strip)
        picture = strip_picture(strip, kept[0], over[0])
    else:
        pair = strip_pair(read_ones[0], read_ones[1])
        if not pair.columns:
            raise CinderlaneError(pair.upper.reason or pair.lower.reason)
        for number, strip in enumerate((pair.upper, pair.lower)):
            take(number, strip)
        picture = pair_picture(pair, (kept[0], kept[1]), (over[0], over[1]))
    write_whole(out, picture)
    return (*(note for one in known for note in one.film.notes), *notes, *not_written(over))


def write_strips_of(
    project: Path, wanted: Sequence[str | None], out: Path, audience: Audience
) -> tuple[str, ...]:
    """The same for runs as somebody names them; see ``find_run``. Raises CinderlaneError."""
    if out.suffix.lower() != ".png":
        raise CinderlaneError(tr("A posture strip is a picture: choose a name that ends in .png."))
    with ProjectFile.open(project) as file:
        runs = [find_run(file.project, one).id for one in wanted]
    return write_strips(project, runs, out, audience)


def write_all_strips(project: Path, folder: Path, audience: Audience, *, beside: str = "") -> Written:
    """Write the strip of every run of a project into a folder; see ``write_each``. Raises CinderlaneError."""
    if beside:
        raise CinderlaneError(tr("Name the run: two strips below each other are one picture."))

    def write(run_id: str, out: Path, told: Say | None) -> tuple[str, ...]:
        return write_strips(project, [run_id], out, audience, told)

    return write_each(project, folder, ".png", audience, write)


def _pictures(
    known: KnownRun,
    strip: PostureStrip,
    covers: Sequence[FaceCover],
    audience: Audience,
    say: Say | None,
    stopped: Stopped | None,
) -> tuple[dict[int, bytes], tuple[str, ...]]:
    """The film's pictures by frame, their faces hidden, and what is to be looked at."""
    from analysis.derive.face import stretches  # what follows in pictures: only for who asks

    film, evidence = known.film.opened(), known.evidence
    frames = sorted({int(frame.frame) for frame in strip.frames})
    told = share_of(say, 0.0, _FOLLOWING_SHARE)
    hidden = hidden_faces(evidence.run, film, covers, frames, audience.faces, evidence.camera, told, stopped)
    found = dict(pictures(film, frames, stopped, hidden.places))
    if say is not None:
        say(1.0)
    gone = [frame for frame, jpeg in found.items() if not jpeg]
    words = tr("Frames {frames} of {run} can't be read and are left out.")
    lost = (words.format(frames=stretches(gone), run=one_line(evidence.run.name)),) if gone else ()
    return found, (*hidden.notes, *lost)


class StripJob(WritingJob):
    """Writes strips beside whatever else goes on."""

    def __init__(self, project: Path, run_ids: Sequence[str], out: Path, audience: Audience) -> None:
        excuses = Excuses(
            tr("The posture strip is still being written."),
            tr("Writing the posture strip was stopped."),
            tr("The posture strip could not be written: the work beside ended before its time. Try again."),
        )
        super().__init__(out, excuses)
        told = {"runs": list(run_ids), "out": str(self._out), "audience": audience.as_json()}
        self._start("analysis.jobs.strips", project, None, 1, **told)


def _write(wish: Wish) -> None:
    """The child's work: write them."""
    what = wish.what
    place = Path(what["film"]), what["runs"], Path(what["out"]), Audience.of_json(what["audience"])
    notes = write_strips(*place, wish.say, wish.orphaned)
    tell_notes(wish, notes)


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _write))
