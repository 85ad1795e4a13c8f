"""A comparison as plain JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from analysis.reading.cells import number_to_json
from analysis.reading.closing import closing
from analysis.reading.key_names import key_name
from analysis.values.comparison import Compared, Comparison
from analysis.values.reading import Reading


def comparison_to_json(comparison: Comparison, after: Sequence[Reading]) -> dict[str, Any]:
    """Every measure with both values, difference and what can be said; ``after``: the second side's runs."""
    end = closing(comparison, after)
    return {
        "changed": end.changed,
        "held": end.held,
        "next": end.next,
        "notes": list(comparison.notes),
        "other_conditions": list(comparison.despite),
        "same_day": comparison.same_day,
        "measures": [_row(row) for row in comparison.rows],
    }


def _row(row: Compared) -> dict[str, Any]:
    key = row.key
    return {
        "name": key_name(key),
        "measure": key.measure,
        "moment": None if key.moment is None else key.moment.value,
        "step": key.step,
        "x_m": key.x_m,
        "other_leg": key.other_leg,
        "before": number_to_json(row.before),
        "after": number_to_json(row.after),
        "difference": number_to_json(row.difference),
        "claim": row.claim.value,
        "change": None if row.change is None else row.change.value,
        "holds": row.holds,
        "least_change": row.least,
        "rests_on": row.rests_on,
    }
