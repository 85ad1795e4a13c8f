"""What a row is made of: cells as SQLite stores them, and numbers out of them."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

Row = dict[str, Any]
"""Cells by the names of their columns."""


def finite(value: Any) -> float:
    """A number that a cell must hold. Raises ValueError where it holds none."""
    if not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ValueError("not a finite number")
    return float(value)


def finite_or_none(value: Any) -> float | None:
    """A number, or None for an empty cell. Raises ValueError where it holds something else."""
    return None if value is None else finite(value)


def json_object(text: str) -> Mapping[str, Any]:
    """The object that a cell holds as JSON. Raises ValueError where it holds none."""
    held = json.loads(text)
    if not isinstance(held, dict):
        raise ValueError("no object")
    return held
