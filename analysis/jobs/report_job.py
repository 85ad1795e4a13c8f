"""Reports written in a process of its own, beside the window."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path

from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.values.words import tr


@dataclass(frozen=True)
class Written:
    """The files that were written, and sentences for the coach."""

    files: tuple[Path, ...]
    notes: tuple[str, ...]


class ReportJob(ChildJob[Written]):
    """Writes the pages of a run, the coach's under the name of ``out``; or without a run those of the whole
    project, with its tables, into the folder ``out``.
    """

    def __init__(self, project: Path, run_id: str | None, out: Path) -> None:
        excuses = Excuses(
            tr("The report is still being written."),
            tr("Writing the report was stopped."),
            tr("The report could not be written: the work beside ended before its time. Try again."),
        )
        super().__init__("written.json", excuses)
        self._start("analysis.jobs.report_job", project, None, 1, run=run_id, out=str(out.absolute()))

    def _read(self, found: Path) -> Written:
        held = json.loads(found.read_text(encoding="utf-8"))
        return Written(tuple(map(Path, held["files"])), tuple(held["notes"]))


def _report(wish: Wish) -> None:
    """The child's work: write the pages, and what was written."""
    from analysis.jobs.report import report, report_run

    project, out = Path(wish.what["film"]), Path(wish.what["out"])
    run_id = wish.what["run"]
    if run_id is None:
        files, notes = report(project, None, out, wish.say)
    else:
        files, notes = report_run(project, run_id, out)
    content = {"files": list(map(str, files)), "notes": notes}
    wish.found.write_text(json.dumps(content), encoding="utf-8")


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _report))
