"""The same work without a window. Results go to standard output in UTF-8, sentences to standard error."""

from __future__ import annotations

import argparse
import json
import logging
import os
import sys
import traceback
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.annotate_command import (
    add_annotate,
    add_audience,
    add_strip,
    audience_of,
    named_audience_of,
    of_all_runs,
    wish_of,
)
from analysis.values.errors import CinderlaneError, FilmError, SheetError
from analysis.values.words import tr

if TYPE_CHECKING:
    from analysis.jobs.export import Written
    from analysis.values.camera import Lens

# Heavy rooms (the decoder, the database, the numerics) are imported by the command that needs them.

FAULT, UNEXPECTED, PARTLY, PIPE_CLOSED, STOPPED = 2, 3, 4, 1, 130
"""Exit codes beside 0: bad input, a fault of the program, some runs left out, nobody reads on, stopped from
the keyboard."""

_log = logging.getLogger(__name__)
_log.addHandler(logging.NullHandler())  # without a log file nothing of it reaches the terminal


def main(argv: Sequence[str]) -> int:
    """Do one command; returns the exit code. Whatever happens is a sentence, never a traceback.

    ``--debug`` shows the traceback after the sentence.
    """
    try:
        arguments = _parser().parse_args(argv)
    except SystemExit as leaving:  # argparse has said why
        return leaving.code if isinstance(leaving.code, int) else FAULT
    try:
        code = _COMMANDS[arguments.command](arguments) or 0
        sys.stdout.flush()
    except CinderlaneError as error:
        return _say(str(error), FAULT, debug=arguments.debug)
    except BrokenPipeError:
        _forget_output()
        return PIPE_CLOSED
    except KeyboardInterrupt:
        return _say(tr("Stopped."), STOPPED, debug=False)
    except Exception:  # noqa: BLE001 - whatever it is, the terminal gets a sentence
        _log.exception("unexpected")
        sentence = tr(
            "Something went wrong inside the program; no file is half written. Add --debug to see where."
        )
        return _say(sentence, UNEXPECTED, debug=arguments.debug)
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python3 -m analysis", description=tr("Read an athlete's first ten metres, without a window.")
    )
    parser.add_argument("--debug", action="store_true", help=tr("show where in the program an error arose"))
    commands = parser.add_subparsers(dest="command", required=True, metavar=tr("COMMAND"))

    def add(name: str, words: str) -> argparse.ArgumentParser:
        sub = commands.add_parser(name, help=words, description=words)
        sub.add_argument("--debug", action="store_true", default=argparse.SUPPRESS, help=argparse.SUPPRESS)
        return sub

    film = add("film", tr("say what is in a film, as JSON"))
    film.add_argument("clip", metavar="CLIP", type=Path)

    background = add("background", tr("say how the camera of a film moved, as JSON"))
    background.add_argument("clip", metavar="FILM", type=Path)
    background.add_argument("--first", type=int, default=0, metavar="FRAME", help=tr("from this frame (0)"))
    background.add_argument("--last", type=int, metavar="FRAME", help=tr("to this frame (the last)"))
    _add_lens(background)

    read = add("read", tr("read a run of a project, or a run sheet"))
    read.add_argument("source", metavar="PROJECT|SHEET.json", type=Path)
    read.add_argument(
        "--run", metavar="RUN", help=tr("id, beginning of the id, or name; needed where there are several")
    )
    read.add_argument(
        "--format",
        choices=("json", "csv", "posture", "curves"),
        default="json",
        help=tr(
            "how it is written (json); csv: the step table, posture: what was read at each event, curves: "
            "angles and centre of mass on every frame, all three as CSV"
        ),
    )
    read.add_argument(
        "--speed-of",
        choices=("hips", "centre-of-mass"),
        default="hips",
        help=tr("the point whose way gives step velocities, splits and speeds (hips)"),
    )
    force = tr("in JSON, with force and power that the speed curve means: a model's results")
    read.add_argument("--force", action="store_true", help=force)

    put = add(
        "add", tr("add a run sheet to a project, which is made where it is missing; prints the run's id")
    )
    put.add_argument("project", metavar="PROJECT", type=Path)
    put.add_argument("sheet", metavar="SHEET.json", type=Path)

    sheet = add(
        "sheet",
        tr("write a run as a run sheet; printed, its film is named as seen from the project's folder"),
    )
    sheet.add_argument("project", metavar="PROJECT", type=Path)
    sheet.add_argument("run", metavar="RUN", help=tr("id, beginning of the id, or name"))

    words = tr(
        "write the film of a run, or of all, with lines, points and numbers on it, as MP4, or a picture"
    )
    add_annotate(add("annotate", words))

    add_strip(add("strip", tr("write the posture strip of a run, or of all, or of two, as a picture")))

    draft = add("draft", tr("propose every footfall of a run, as JSON"))
    draft.add_argument("clip", metavar="CLIP", type=Path, nargs="?")
    draft.add_argument("--marks", metavar="MARKS.json", type=Path, help=tr("marks in the first frame"))
    draft.add_argument(
        "--run-direction", choices=("left", "right"), help=tr("which way the run goes (found where left out)")
    )
    draft.add_argument("--batch", metavar="FOLDER", type=Path, help=tr("all films of a folder"))
    _add_lens(draft)

    pair = add(
        "compare", tr("say what differs between two runs of a project, or the runs of two days, as JSON")
    )
    pair.add_argument("project", metavar="PROJECT", type=Path)
    for side in ("--before", "--after"):
        pair.add_argument(side, metavar="RUN", nargs="+", required=True, help=tr("run or runs of this side"))
    pair.add_argument(
        "--other-conditions", action="store_true", help=tr("compare in spite of other conditions")
    )

    report = add("report", tr("write pages and tables to hand over: of one run, or of all of a project"))
    report.add_argument("project", metavar="PROJECT", type=Path)
    report.add_argument("--run", metavar="RUN", help=tr("id, beginning of the id, or name (all runs)"))
    report.add_argument("--out", metavar="FOLDER", type=Path, required=True, help=tr("where to write them"))
    add_audience(report)

    _add_of_project(add)
    return parser


def _add_of_project(add: Callable[[str, str], argparse.ArgumentParser]) -> None:
    """What is asked of a project alone."""
    for name, words in (
        ("runs", tr("list the runs of a project, one a line")),
        ("narrations", tr("list the narrations of a project with their stops, as JSON")),
        ("drills", tr("read the films of a day's drills, as JSON")),
        ("gates", tr("add times from timing gates; prints all against the films, as JSON")),
    ):
        sub = add(name, words)
        sub.add_argument("project", metavar="PROJECT", type=Path)
        if name == "drills":
            sub.add_argument("--day", metavar="DAY", help=tr("id or date; needed where several are planned"))
        if name == "gates":
            told = tr("columns date, athlete, distance_m, time_s and note")
            sub.add_argument("table", metavar="FILE.csv", type=Path, help=told)


def _add_lens(to: argparse.ArgumentParser) -> None:
    to.add_argument(
        "--lens", metavar="SHEET.json", type=Path, help=tr("freed from the lens of this run sheet")
    )


def _lens(arguments: argparse.Namespace) -> Lens | None:
    from analysis.jobs.sheets import lens_of_sheet

    return None if arguments.lens is None else lens_of_sheet(arguments.lens)


def _film(arguments: argparse.Namespace) -> None:
    from analysis.film import describe, open_film
    from analysis.sheet.writing import sheet_text

    _print(sheet_text(describe(open_film(arguments.clip))))


def _background(arguments: argparse.Namespace) -> None:
    from analysis.background import follow_background, summary
    from analysis.film import open_film

    lens, film = _lens(arguments), open_film(arguments.clip)
    last = film.frames - 1 if arguments.last is None else arguments.last
    found = summary(follow_background(film, arguments.first, last, lens=lens))
    _print_json(found)


def _draft(arguments: argparse.Namespace) -> None:
    from analysis.jobs.draft import draft_folder, draft_of, read_marks
    from analysis.values.run import Direction

    if (arguments.clip is None) == (arguments.batch is None):
        raise FilmError(tr("Name either a film or, with --batch, a folder of films."))
    marks = read_marks(arguments.marks) if arguments.marks else ()
    direction = Direction(arguments.run_direction) if arguments.run_direction else None
    if arguments.batch is not None:
        found = draft_folder(arguments.batch, marks, direction, _lens(arguments))
    else:
        found = draft_of(arguments.clip, marks, direction, lens=_lens(arguments))
    _print_json(found)


def _annotate(arguments: argparse.Namespace) -> int:
    from analysis.jobs.annotate import annotate, annotate_all

    wish = wish_of(arguments)
    if of_all_runs(arguments):
        return _wrote(annotate_all(arguments.project, arguments.out, wish))
    _note(annotate(arguments.project, arguments.run, arguments.out, wish))
    return 0


def _strip(arguments: argparse.Namespace) -> int:
    from analysis.jobs.strips import write_all_strips, write_strips_of

    audience = named_audience_of(arguments)
    if of_all_runs(arguments):
        return _wrote(write_all_strips(arguments.project, arguments.out, audience, beside=arguments.beside))
    runs = [arguments.run, *([arguments.beside] if arguments.beside else [])]
    _note(write_strips_of(arguments.project, runs, arguments.out, audience))
    return 0


def _read(arguments: argparse.Namespace) -> None:
    from analysis.reading import read
    from analysis.reading.posture_tables import curves_to_csv, posture_to_csv
    from analysis.reading.tables import reading_to_csv, reading_to_json
    from analysis.values.evidence import TrackedPoint

    if _is_project(arguments.source):
        from analysis.jobs.evidence import evidence_of_run

        evidence, notes = evidence_of_run(arguments.source, arguments.run)
    else:
        from analysis.jobs.evidence import evidence_of_sheet

        if arguments.run is not None:
            raise SheetError(tr("A run sheet holds a single run. Leave out --run."))
        evidence, notes = evidence_of_sheet(arguments.source)
    tracked = TrackedPoint.HIPS if arguments.speed_of == "hips" else TrackedPoint.CENTRE_OF_MASS
    reading = read(replace(evidence, tracked=tracked))
    tables = {"csv": reading_to_csv, "posture": posture_to_csv, "curves": curves_to_csv}
    if arguments.format in tables:
        _print(tables[arguments.format](reading))
    else:
        content = reading_to_json(reading, force=arguments.force)
        _print_json(content)
    _note(notes)


def _compare(arguments: argparse.Namespace) -> None:
    from analysis.jobs.compare import compare_runs
    from analysis.reading.comparison_tables import comparison_to_json

    allowed = arguments.other_conditions
    found = compare_runs(arguments.project, arguments.before, arguments.after, allow_other_conditions=allowed)
    _print_json(comparison_to_json(found.comparison, found.after))
    _note(found.notes)


def _drills(arguments: argparse.Namespace) -> None:
    from analysis.jobs.drills import read_day
    from analysis.reading.drills.tables import drills_to_json

    _print_json(drills_to_json(*read_day(arguments.project, arguments.day)))


def _add(arguments: argparse.Namespace) -> None:
    from analysis.jobs.sheets import add_sheet

    added = add_sheet(arguments.project, arguments.sheet)
    _print(f"{added.run_id}\n")
    _note(added.notes)


def _sheet(arguments: argparse.Namespace) -> None:
    from analysis.jobs.runs import find_run
    from analysis.jobs.sheets import sheet_of
    from analysis.sheet import sheet_text
    from analysis.store import ProjectFile

    with ProjectFile.open(arguments.project) as file:
        sheet, notes = sheet_of(file, find_run(file.project, arguments.run), file.path.parent)
    _print(sheet_text(sheet))
    _note(notes)


def _report(arguments: argparse.Namespace) -> int:
    from analysis.jobs.report import report

    return _wrote(report(arguments.project, arguments.run, arguments.out, audience_of(arguments)))


def _gates(arguments: argparse.Namespace) -> None:
    from analysis.jobs.gates import add_gates

    found, notes = add_gates(arguments.project, arguments.table)
    _print_json(found)
    _note(notes)


def _runs(arguments: argparse.Namespace) -> None:
    from analysis.jobs.runs import in_order, run_line
    from analysis.store import ProjectFile

    with ProjectFile.open(arguments.project) as file:
        project = file.project
    _print("".join(f"{run_line(project, run)}\n" for run in in_order(project, project.sprints)))


def _narrations(arguments: argparse.Namespace) -> None:
    from analysis.jobs.narrations import narrations_listed
    from analysis.store import ProjectFile

    with ProjectFile.open(arguments.project) as file:
        project = file.project
    _print_json({"narrations": narrations_listed(project)})


_COMMANDS: dict[str, Callable[[argparse.Namespace], int | None]] = {
    "drills": _drills,
    "film": _film,
    "background": _background,
    "annotate": _annotate,
    "strip": _strip,
    "draft": _draft,
    "read": _read,
    "add": _add,
    "compare": _compare,
    "sheet": _sheet,
    "report": _report,
    "gates": _gates,
    "runs": _runs,
    "narrations": _narrations,
}


def _is_project(path: Path) -> bool:
    """Whether a file is to be opened as a project: by its first bytes, or by its name."""
    if path.suffix == ".cinderlane":
        return True
    with suppress(OSError, ValueError), path.open("rb") as file:
        return file.read(15) == b"SQLite format 3"
    return False


def _print_json(content: object) -> None:
    _print(json.dumps(content, allow_nan=False, ensure_ascii=False, indent=2) + "\n")


def _print(text: str) -> None:
    """Write as UTF-8 whatever the terminal's own encoding is; line ends stay as they are."""
    sys.stdout.flush()
    rest = memoryview(text.encode("utf-8", "backslashreplace"))
    while rest:  # an unbuffered stream may take a part only
        rest = rest[sys.stdout.buffer.write(rest) :]


def _wrote(done: Written) -> int:
    """Say which files were written, what there is to say, and which runs are left out; the exit code."""
    _print("".join(f"{path}\n" for path in done.files))
    _note((*done.notes, *done.left_out))
    return PARTLY if done.left_out else 0


def _note(sentences: Iterable[str]) -> None:
    for sentence in sentences:
        print(sentence, file=sys.stderr)


def _say(sentence: str, code: int, *, debug: bool) -> int:
    with suppress(OSError):
        print(sentence, file=sys.stderr)
        if debug:
            traceback.print_exc()
    return code


def _forget_output() -> None:
    """Keep Python from complaining, while it ends, that nobody reads on."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
