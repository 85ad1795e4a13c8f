"""Edits of two windows on one project: each may be right, and both together wrong."""

from __future__ import annotations

from analysis.ground.marks import mark_conflict
from analysis.steps.order import conflicts, start_conflict
from analysis.values.errors import ProjectError
from analysis.values.project import Project
from analysis.values.run import Run
from analysis.values.words import tr


def check_together(now: Project, then: Project) -> None:
    """Raise ProjectError where an edit contradicts what the file holds by now, and say by what.

    ``now``: the project as it is in the file; ``then``: as the edit would leave it. A contradiction that was
    there before is no reason.
    """
    for run_id, run in then.runs.items():
        before = now.runs.get(run_id)
        if before is run:
            continue
        known = _contradictions(before) if before is not None else set()
        new = sorted(_contradictions(run) - known)
        if new:
            raise ProjectError(
                tr("The run was changed elsewhere in the meantime, and the two don't go together.")
                + f" {new[0]} "
                + tr("Nothing was altered; look and try again.")
            )


def _contradictions(run: Run) -> set[str]:
    found = {conflict.sentence for conflict in conflicts(run.footfalls)}
    found |= {sentence for sentence in (start_conflict(run.start, run.footfalls),) if sentence}
    found |= {sentence for sentence in (mark_conflict(run.marks),) if sentence}
    return found
