"""How good a film is: what its pictures tell and what the marks of the run do, put together."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.reading.framing import framing_findings
from analysis.values.evidence import Evidence
from analysis.values.finding import Finding
from analysis.values.words import tr

TITLE = tr("How good this film is")


def film_quality(found: Sequence[Finding], evidence: Evidence | None) -> tuple[Finding, ...]:
    """All points, what costs something first. ``found``: by the check of the film; ``evidence``: of the run,
    None where there is none.
    """
    framing = () if evidence is None else framing_findings(evidence)
    told = {one.topic for one in framing}  # what marks tell is surer than what the picture does
    known = (*(one for one in found if one.topic not in told), *framing)
    return tuple(sorted(known, key=lambda one: one.good))
