"""The body of a run on its film, as it may lie over another one's."""

from __future__ import annotations

from analysis.report.other_body import BodyRun
from app.bench import Look


def body_run(look: Look | None) -> BodyRun | None:
    """None where the run was not read."""
    if look is None or look.evidence is None or look.reading is None:
        return None
    return BodyRun(look.evidence, look.reading, look.run.name)
