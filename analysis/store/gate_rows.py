"""Rows of times from gates, and back, exactly."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from analysis.store.cells import Row, finite
from analysis.values.gate import GateTime


def gate_row(gate: GateTime) -> Row:
    """The row of a time."""
    return asdict(gate)


def gate_of(row: Mapping[str, Any]) -> GateTime:
    """The time that a row holds. Raises ValueError where a number is none."""
    numbers = finite(row["distance_m"]), finite(row["time_s"])
    return GateTime(row["id"], row["athlete_id"], row["date"], *numbers, row["note"])
