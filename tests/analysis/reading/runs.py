"""Evidence for tests, from the sample clips' run sheets."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from analysis.sheet import read_sheet
from analysis.values.evidence import Evidence

SAMPLES = Path(__file__).parents[3] / "sample_clips"


def evidence_of(sheet: dict[str, Any]) -> Evidence:
    """The run of a sheet with the film that it names."""
    found = read_sheet(sheet, SAMPLES)
    assert found.facts is not None
    return Evidence(found.run, found.facts, found.athlete)


def sample(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """A sample clip's run sheet and its truth."""
    sheet = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    truth = json.loads((SAMPLES / f"{name}.truth.json").read_text(encoding="utf-8"))
    return sheet, truth
