"""Reports written in a process of its own, beside the window."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from analysis.jobs.child import ChildJob, Excuses, Wish, serve
from analysis.jobs.export import Written
from analysis.values.audience import Audience
from analysis.values.words import tr


class ReportJob(ChildJob[Written]):
    """Writes the pages of a run, the coach's under the name of ``out``; or without a run those of the whole
    project, with its tables, into the folder ``out``.
    """

    def __init__(self, project: Path, run_id: str | None, out: Path, audience: Audience) -> None:
        excuses = Excuses(
            tr("The report is still being written."),
            tr("Writing the report was stopped."),
            tr("The report could not be written: the work beside ended before its time. Try again."),
        )
        super().__init__("written.json", excuses)
        told = {"run": run_id, "out": str(out.absolute()), "audience": audience.as_json()}
        self._start("analysis.jobs.report_job", project, None, 1, **told)

    def _read(self, found: Path) -> Written:
        held = json.loads(found.read_text(encoding="utf-8"))
        return Written(tuple(map(Path, held["files"])), tuple(held["notes"]), tuple(held["left_out"]))


def _report(wish: Wish) -> None:
    """The child's work: write the pages, and what was written."""
    from analysis.jobs.report import report, report_run

    project, out = Path(wish.what["film"]), Path(wish.what["out"])
    run_id, audience = wish.what["run"], Audience.of_json(wish.what["audience"])
    if run_id is None:
        done = report(project, None, out, audience, wish.say)
    else:
        done = Written(*report_run(project, run_id, out, audience))
    content = {"files": list(map(str, done.files)), "notes": done.notes, "left_out": done.left_out}
    wish.found.write_text(json.dumps(content), encoding="utf-8")


if __name__ == "__main__":
    sys.exit(serve(sys.argv[1:], _report))
